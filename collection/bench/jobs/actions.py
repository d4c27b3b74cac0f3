"""Writing a job: sent, booked in, diagnosed, quoted, approved, done, back."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import PermissionDenied

from collection.bench.jobs.models import Job
from collection.catalogue.models import Piece
from collection.core.events.approved import Approved
from collection.core.events.back_from_repair import BackFromRepair
from collection.core.events.booked_in import BookedIn
from collection.core.events.diagnosed import Diagnosed
from collection.core.events.kind import Kind
from collection.core.events.quoted import Quoted
from collection.core.events.repaired import Repaired
from collection.core.events.sent_to_repair import SentToRepair
from collection.core.wording import money
from collection.custody.models import Party, Place
from collection.ledger.actions import open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership
from registry.access.sharing import Guest


@dataclass(frozen=True)
class Terms:
    """What goes along with a piece: complaint, orders, the limit in minor units, the day back."""

    complaint: str
    orders: tuple[str, ...] = ()
    order_words: str = ""
    limit_minor: int | None = None
    due_on: date | None = None


def send(
    *,
    collection: Collection,
    by: Membership,
    pieces: Iterable[str],
    repairer: Party,
    terms: Terms,
    at: Place | None = None,
    code: str = "",
    telling: Telling | None = None,
) -> Job:
    """Send pieces to a repairer on a new job; only a keeper may set its limit."""
    if terms.limit_minor is not None and not by.keeps:
        raise PermissionDenied("A keeper sets what may be spent without a call.")
    telling = telling or _today(collection)
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return Job.objects.of(collection).get(code=before.names["job"])
        subject = book.new_subject("job", code)
        job = _new_job(subject, repairer, at, terms, _day(telling, collection))
        rows = list(Piece.objects.of(collection).filter(code__in=list(pieces)))
        if not rows:
            raise LedgerError("A job needs a piece.")
        job.pieces.set(rows)
        for number, piece in enumerate(rows):
            told = telling if number == 0 else Telling(happened=telling.happened)
            book.append(_sent(job), piece.code, told)
        return job


def _new_job(subject, repairer: Party, at: Place | None, terms: Terms, sent_on: date) -> Job:
    return Job.objects.create(
        subject=subject,
        collection=subject.collection,
        code=subject.code,
        repairer=repairer,
        at=at,
        currency=subject.collection.currency,
        sent_on=sent_on,
        complaint=terms.complaint,
        orders=list(terms.orders),
        order_words=terms.order_words,
        limit_minor=terms.limit_minor,
        due_on=terms.due_on,
    )


def _sent(job: Job) -> SentToRepair:
    return SentToRepair(
        job=job.code,
        to=job.repairer.code,
        at=job.at.code if job.at else "",
        complaint=job.complaint,
        orders=tuple(job.orders),
        order_words=job.order_words,
        limit_minor=job.limit_minor,
        currency=job.currency if job.limit_minor is not None else "",
        due=job.due_on.isoformat() if job.due_on else "",
    )


def book_in(*, job: Job, by: Membership, ticket: str = "", telling: Telling | None = None) -> Event:
    """The repairer has it on the list, under their ticket."""
    with open_book(job.collection, by):
        Job.objects.filter(pk=job.pk).update(ticket=ticket or job.ticket)
        facts = BookedIn(ticket=ticket, pieces=_codes(job))
        return _write(job, by, job.code, facts, telling)


def diagnose(
    *,
    job: Job,
    by: Membership | Guest,
    piece: Piece,
    finding: str,
    fault: str = "",
    telling: Telling | None = None,
) -> Event:
    """What the repairer found; a member tells it, or the repairer by a link."""
    facts = Diagnosed(finding=finding, job=job.code, by_whom=job.repairer.code, fault=fault)
    return _write(job, by, piece.code, facts, telling)


def quote(
    *, job: Job, by: Membership, amount_minor: int, covers: str = "",
    telling: Telling | None = None,
) -> Event:  # fmt: skip
    """What the work would cost, in minor units of the job's currency."""
    facts = Quoted(amount_minor, job.currency, covers, _codes(job))
    return _write(job, by, job.code, facts, telling)


def approve(
    *, job: Job, by: Membership, up_to_minor: int, on_word_of: str = "",
    telling: Telling | None = None,
) -> Event:  # fmt: skip
    """Let the work cost up to this; above the job's limit only a keeper, whose word raises it."""
    with open_book(job.collection, by):
        limit = Job.objects.select_for_update().get(pk=job.pk).limit_minor
        if up_to_minor > (limit or 0):
            if not by.keeps:
                raise PermissionDenied(_above(job, limit))
            Job.objects.filter(pk=job.pk).update(limit_minor=up_to_minor)
        facts = Approved(up_to_minor, job.currency, on_word_of, _codes(job))
        return _write(job, by, job.code, facts, telling)


def _above(job: Job, limit: int | None) -> str:
    if limit is None:
        return "No limit has been set for this job; a keeper approves it."
    return f"This is above the job’s limit of {money(limit, job.currency)}; a keeper approves it."


def finish(
    *,
    job: Job,
    by: Membership,
    piece: Piece,
    what: str,
    fault: str = "",
    removed_kept: str = "",
    telling: Telling | None = None,
) -> Event:
    """The work is done; the piece stays unproven until somebody has played it hot."""
    facts = Repaired(
        what=what, by_whom=job.repairer.code, fault=fault, removed_kept=removed_kept, job=job.code
    )
    return _write(job, by, piece.code, facts, telling)


def bring_back(
    *,
    job: Job,
    by: Membership,
    piece: Piece,
    at: str = "",
    removed: Iterable[tuple[str, str]] = (),
    telling: Telling | None = None,
) -> Event:
    """A piece is back, its removed parts counted; each missing one becomes a Question."""
    facts = BackFromRepair(job=job.code, from_whom=job.repairer.code, at=at, removed=tuple(removed))
    return _write(job, by, piece.code, facts, telling)


def _write(
    job: Job, by: Membership | Guest, code: str, facts: Kind, telling: Telling | None
) -> Event:
    with open_book(job.collection, by) as book:
        return book.append(facts, code, telling or _today(job.collection))


def _codes(job: Job) -> tuple[str, ...]:
    return tuple(job.pieces.order_by("code").values_list("code", flat=True))


def _today(collection: Collection) -> Telling:
    return Telling(happened=clock.today(collection.zone_info).isoformat())


def _day(telling: Telling, collection: Collection) -> date:
    """The day a job began, as far as its date says one; else today."""
    try:
        return date.fromisoformat(telling.happened[:10])
    except ValueError:
        return clock.today(collection.zone_info)

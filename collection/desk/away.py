"""Who has what: everything that is with somebody else, since when, until when."""

from dataclasses import dataclass
from datetime import date, datetime

from collection.bench.jobs.queries import JobLine, all_jobs
from collection.catalogue.models import Piece
from collection.core.entry import UNKNOWN_US, from_us
from collection.core.events.kind import GONE
from collection.custody.freight.queries import Freight, freight
from collection.custody.loans.queries import Loans, all_loans
from collection.ledger.models import Mention
from registry.access.models import Collection

HELD_BY = ("moved", "lent")


@dataclass(frozen=True)
class Held:
    """A piece with somebody, on no loan and no job, and since when."""

    piece: Piece
    who: str
    who_code: str
    since: date | None


@dataclass(frozen=True)
class Away:
    """All that is out: loans, shop jobs, shipments, and what somebody simply has."""

    loans: Loans
    jobs: list[JobLine]
    freight: Freight
    held: list[Held]

    @property
    def count(self) -> int:
        """How many pieces, jobs and shipments are with others."""
        lent = sum(len(line.out) for line in self.loans.lent)
        return lent + len(self.jobs) + len(self.freight.coming) + len(self.held)

    @property
    def late(self) -> int:
        """How many of them are past the day or hour they were promised for."""
        jobs = sum(1 for job in self.jobs if job.overdue_days)
        coming = sum(1 for line in self.freight.coming if line.late)
        return len(self.loans.overdue) + jobs + coming


def away(collection: Collection, *, now: datetime) -> Away:
    """The list of everything that is with somebody else; the same few queries."""
    today = now.astimezone(collection.zone_info).date()
    loans, (jobs, _) = all_loans(collection, today=today), all_jobs(collection, today=today)
    told = {row.piece_id for line in loans.lent for row in line.out}
    told |= {piece.pk for job in jobs for piece in job.job.pieces.all()}
    return Away(loans, jobs, freight(collection, now=now), _held(collection, told))


def _held(collection: Collection, told: set[int]) -> list[Held]:
    rows = (
        Piece.objects.of(collection)
        .filter(subject__state__holder__isnull=False)
        .exclude(pk__in=told)
        .exclude(subject__state__standing__in=GONE)
        .select_related("design", "subject__state__holder__party")
        .order_by("code")
    )
    found = list(rows)
    since = _since(collection, [piece.pk for piece in found])
    return [_line(piece, since.get(piece.pk)) for piece in found]


def _line(piece: Piece, since: date | None) -> Held:
    holder = piece.subject.state.holder
    party = getattr(holder, "party", None)
    return Held(piece, party.name if party else holder.code, holder.code, since)


def _since(collection: Collection, pieces: list[int]) -> dict[int, date]:
    """The day of the newest entry that gave each piece to somebody; 1 query."""
    rows = Mention.objects.filter(subject__in=pieces, role="subject", entry__kind__in=HELD_BY)
    zone = collection.zone_info
    return {
        subject: from_us(us).astimezone(zone).date()
        for subject, us in rows.order_by("placed_us").values_list("subject", "placed_us")
        if us != UNKNOWN_US
    }

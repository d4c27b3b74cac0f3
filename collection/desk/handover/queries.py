"""What the next pair of hands must know: each function yields the lines of one heading."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import QuerySet

from collection.bench.faults.queries import FaultLine, board
from collection.bench.jobs.queries import all_jobs
from collection.bench.sheets.queries import Sheet, set_it_like_this
from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core.state import from_json
from collection.core.wording import day
from collection.custody.freight.queries import lines, under_way
from collection.custody.loans.queries import LoanLine, all_loans
from collection.custody.models import Incident
from collection.custody.queries import incidents, parties
from collection.desk.due import board as due_board
from collection.desk.handover.models import HeldKey
from collection.desk.lined import Item
from collection.ledger.lines import when_of
from collection.ledger.models import Event
from collection.ledger.models import State as StateRow
from collection.ledger.naming import in_names, naming_for
from collection.ledger.queries import sentence_of, superseded
from collection.papers.theft.models import TheftTask
from collection.road.models import RigPosition
from collection.road.needs import current_tour
from collection.road.plan import rig_of
from collection.road.rig import RigLine
from collection.stock.counting import in_words
from collection.stock.models import Lot
from registry.access.models import Collection, Membership

OFF_THE_SHELF = ("sealed", "tested", "pulled")
STILL_GONE = ("stolen", "not_found", "quarantined")
CHANGES = (
    "died", "faulted", "fault_settled", "repaired", "modified", "tagged_out",
    "tag_lifted", "issued", "pulled", "died_in_use", "fitted", "removed", "lent", "returned",
    "hired_in", "hired_back", "extended", "sent_to_repair", "back_from_repair", "stolen",
    "recovered", "not_found", "sold", "acquired",
)  # fmt: skip
MOST_CHANGES, MOST_QUESTIONS = 40, 30
WORDS = 400  # of an odd note; the book has the rest


@dataclass(frozen=True)
class Handed:
    """A handover that was written: who, whom, since when."""

    event: Event
    sentence: str

    @property
    def when(self) -> str:
        """When, as the book says it."""
        return when_of(self.event)


def handovers(member: Membership) -> list[Handed]:
    """Every handover, the last one first."""
    naming = naming_for(member)
    found = Event.objects.of(member.collection).filter(~superseded(), kind="handed_over")
    rows = found.select_related("subject").order_by("-placed_us", "-sequence")
    return [Handed(event, in_names(sentence_of(event), naming)) for event in rows]


def broken(collection: Collection) -> Iterator[Item]:
    """Tagged-out pieces first, then faults that speak against a piece."""
    tagged = pieces(collection).filter(subject__state__tagged_out=True).order_by("code")
    for piece in tagged.select_related("subject__state"):
        tag = from_json(piece.subject.state.detail).tag
        more = f"{tag.reason}. The check that lifts it: {tag.check}." if tag else ""
        yield Item(_name(piece), more, "DO NOT POWER", ("desk:piece", piece.code), "bare")
    for line in board(collection).open:
        yield _fault(line)


def _fault(line: FaultLine) -> Item:
    fault = line.fault
    what = f"{_name(fault.piece)}: {fault.symptom}"
    return Item(what, f"Fault {fault.code}", line.words, ("bench:fault", fault.code), line.glyph)


def odd(collection: Collection) -> Iterator[Item]:
    """Notes marked as odd but normal, piece by piece."""
    found = Event.objects.of(collection).filter(~superseded(), kind="noted", facts__odd=True)
    called = {
        piece.pk: piece for piece in pieces(collection).filter(pk__in=found.values("subject"))
    }
    for event in found.select_related("subject").order_by("subject__code", "sequence"):
        piece = called.get(event.subject_id)
        name = _name(piece) if piece else event.subject.code
        link = ("desk:piece", piece.code) if piece else ()
        yield Item(name, event.words[:WORDS], when_of(event), link)


def rig(member: Membership, *, now: datetime) -> list[RigLine]:
    """The positions of the tour that is on or next, as they stand at its next show."""
    tour = current_tour(member.collection, now=now)
    return rig_of(member.collection, tour, now=now, member=member).lines if tour else []


def settings(rig: Iterable[RigLine]) -> Iterator[Item]:
    """How to set what plays: of the last good night, else the newest sheet."""
    playing = [one.position.piece for one in rig if one.position.piece]
    sheets = set_it_like_this(playing)
    for piece in playing:
        sheet = sheets.get(piece.code)
        if sheet is None:
            yield Item(_name(piece), "No sheet was set down.", link=("bench:sheets", piece.code))
            continue
        said = ", ".join(f"{line} {words}" for line, words in sheet.pairs)
        yield Item(_name(piece), said, _night(sheet), ("bench:sheets", piece.code))


def _night(sheet: Sheet) -> str:
    kind = "last good night" if sheet.good else "newest"
    return f"{kind}, {sheet.show or sheet.when}"


def plan(rig: Iterable[RigLine]) -> Iterator[Item]:
    """What plays, what stands behind it and whether it is there, and the written fallback."""
    for line in rig:
        one = line.position
        piece = _name(one.piece) if one.piece else "nothing is planned"
        link = ("desk:piece", one.piece.code) if one.piece else ()
        said = (_backup(line), _fallback(one), _outage(one))
        more = " ".join(part for part in said if part)
        yield Item(f"{one}: {piece}", more, line.words, link, line.mark)


def _backup(line: RigLine) -> str:
    backup = line.position.backup
    return f"Backup: {_name(backup)}. {line.note}".strip() if backup else "No backup."


def _fallback(one: RigPosition) -> str:
    steps = "; ".join(str(step) for step in one.fallback_steps)
    first = f"If it dies: {one.fallback.removesuffix('.')}." if one.fallback else "No fallback."
    return f"{first} In order: {steps}." if steps else first


def _outage(one: RigPosition) -> str:
    return f"Silence accepted: {one.outage_minutes} min." if one.outage_minutes is not None else ""


def spares(collection: Collection) -> Iterator[Item]:
    """What lies on the shelf, by type and lot: which drawer, how many of which grade."""
    rows = Lot.objects.of(collection).select_related("type", "place__place_row", "subject__state")
    for lot in rows.order_by("type__code", "code"):
        state = getattr(lot.subject, "state", None)
        counts = dict(from_json(state.detail).counts) if state else {}
        ready = {b: n for b, n in counts.items() if b.partition(":")[0] in OFF_THE_SHELF and n > 0}
        if ready:
            yield _lot(lot, ready)


def _lot(lot: Lot, ready: Mapping[str, int]) -> Item:
    sets = f", in sets of {lot.type.set_size}" if lot.in_sets else ""
    place = lot.place.place_row.name if lot.place else ""
    where = ", ".join(part for part in (place, lot.drawer) if part) or "nobody has said where"
    said = "; ".join(f"{count} {in_words(bucket)}" for bucket, count in sorted(ready.items()))
    what = f"{lot.type.code} {lot.brand}".strip()
    return Item(f"{what}, lot {lot.code}{sets}", said, where, ("stock:lot", lot.code))


def due(collection: Collection, *, today: date) -> Iterator[Item]:
    """Work that is due by the next day off."""
    for one in due_board(collection, today=today).by_day_off:
        yield Item(f"{_name(one.piece)}: {one.plan.what}", f"{one.due.words}.",
                   link=("desk:piece", one.piece.code))  # fmt: skip


def loans(collection: Collection, *, today: date) -> Iterator[Item]:
    """What is lent, borrowed and hired, the earliest end first."""
    found = all_loans(collection, today=today)
    for line in (*found.lent, *found.taken_in):
        yield _loan(line)


def _loan(line: LoanLine) -> Item:
    loan = line.loan
    what = ", ".join(_name(row.piece) for row in line.out)
    more = f"{loan.get_way_display()}, {loan.party.name}, {loan.reason}, until {_day(loan.ends_on)}"
    return Item(what, f"{more}.", line.words, ("custody:loan", loan.code), line.mark)


def jobs(collection: Collection, *, today: date) -> Iterator[Item]:
    """What is at a repairer."""
    away, _ = all_jobs(collection, today=today)
    for line in away:
        job = line.job
        what = ", ".join(_name(piece) for piece in job.pieces.all())
        promised = f", promised for {_day(job.due_on)}" if job.due_on else ""
        more = f"{job.repairer.name}, since {_day(job.sent_on)}{promised}."
        mark, words = ("over", "overdue") if line.overdue_days else ("wait", line.stage)
        yield Item(what, more, words, ("bench:job", job.code), mark)


def coming(collection: Collection, *, now: datetime) -> Iterator[Item]:
    """What is on the way."""
    for line in lines(list(under_way(collection)), now=now):
        what = ", ".join(f"{code} {name}".strip() for code, name in line.things)
        shipment = line.shipment
        more = f"To {shipment.to.name}{f', {shipment.carrier.name}' if shipment.carrier else ''}."
        yield Item(what, more, line.words, ("custody:shipment", shipment.code), line.mark)


def files(collection: Collection) -> Iterator[Item]:
    """Thefts and losses that are not over: what is still missing, police, tasks still open."""
    rows = StateRow.objects.of(collection).filter(subject__kind="piece", standing__in=STILL_GONE)
    gone: dict[str, list[str]] = {}
    for state in rows.select_related("subject"):
        gone.setdefault(state.detail.get("incident") or "", []).append(state.subject.code)
    waits = TheftTask.objects.of(collection).filter(done_at=None, applies=True)
    tasks = Counter(waits.values_list("incident__code", flat=True))
    for incident in incidents(collection).filter(code__in=[*gone, *tasks]):
        yield _file(incident, gone.get(incident.code, []), tasks[incident.code])


def _file(incident: Incident, codes: list[str], tasks: int) -> Item:
    police = " ".join(part for part in (incident.police_station, incident.police_reference) if part)
    missing = f"Still missing: {', '.join(sorted(codes))}." if codes else "Nothing is missing."
    more = f"{missing} Police: {police or incident.get_report_display()}."
    more += f" Tasks open: {tasks}." if tasks else ""
    return Item(f"{incident.get_kind_display().capitalize()} {incident.code}", more,
                incident.place_words, ("custody:incident", incident.code))  # fmt: skip


def questions(collection: Collection) -> Iterator[Item]:
    """What nobody knows yet, the newest first."""
    found = Event.objects.of(collection).filter(kind="asked", subject__state__condition="open")
    for event in found.select_related("subject").order_by("-sequence")[:MOST_QUESTIONS]:
        yield Item(event.facts["question"], event.facts.get("about", ""), event.subject.code)


def keys(collection: Collection) -> QuerySet[HeldKey]:
    """Every key with who has it."""
    return HeldKey.objects.of(collection).select_related("held_by")


def key_items(collection: Collection) -> Iterator[Item]:
    """What opens what, and who has it."""
    for key in keys(collection):
        yield Item(key.opens, key.who)


def telephones(collection: Collection) -> Iterator[Item]:
    """Numbers by what somebody is here."""
    rows = parties(collection).exclude(phone="")
    for party in sorted(rows, key=lambda one: (one.does or one.name).casefold()):
        yield Item(party.does or party.name, party.name if party.does else "", party.phone,
                   ("custody:party", party.code))  # fmt: skip


def since(member: Membership, last: Handed | None) -> Iterator[Item]:
    """What changed since the last handover, the newest first; nothing before the first."""
    if last is None:
        return
    naming = naming_for(member)
    found = Event.objects.of(member.collection).filter(
        ~superseded(), kind__in=CHANGES, placed_us__gt=last.event.placed_us
    )
    rows = found.select_related("subject").order_by("-placed_us", "-sequence")[:MOST_CHANGES]
    for event in rows:
        link = ("desk:piece", event.subject.code) if event.subject.kind == "piece" else ()
        what = f"{event.subject.code}: {in_names(sentence_of(event), naming)}"
        yield Item(what, event.words[:WORDS], when_of(event), link)


def _name(piece: Piece) -> str:
    return f"{piece.code} {piece.called}"


def _day(when: date) -> str:
    return day(when, today=None)

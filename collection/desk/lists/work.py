"""Stock, the book, due work, faults and jobs as lists."""

from collections.abc import Iterator

from collection.bench.due.queries import DueLine
from collection.bench.faults.queries import FaultLine, faults
from collection.bench.jobs.queries import JobLine, jobs, line_of
from collection.desk import due
from collection.desk.lists.listing import Asked, Column, Listing
from collection.ledger import queries as ledger
from collection.ledger.lines import BookLine
from collection.stock import queries as stock
from collection.stock.records import LotCount, PartAt

DUE = ("by_day_off", "by_bench", "unwritten", "later")


# -- stock -----------------------------------------------------------------------------------
def _lots(asked: Asked) -> tuple[LotCount, ...]:
    return stock.shelf(asked.member.collection).lots


LOTS = Listing(
    "lots",
    "Lots",
    (
        Column("code", lambda one: one.lot.code),
        Column("type", lambda one: one.lot.type.code),
        Column("brand", lambda one: one.lot.brand),
        Column("marking as seen", lambda one: one.lot.marking),
        Column("where it came from", lambda one: one.lot.origin),
        Column("drawer", lambda one: one.lot.drawer),
        Column("counted in sets of", lambda one: one.tubes),
        Column("sealed", lambda one: one.counts.get("sealed", 0)),
        Column("tested", lambda one: _of(one, "tested:")),
        Column("pulled", lambda one: _of(one, "pulled:")),
        Column("fitted", lambda one: one.counts.get("fitted", 0)),
        Column("dead", lambda one: one.counts.get("dead", 0)),
        Column("lost", lambda one: one.counts.get("lost", 0)),
        Column("not accounted for", lambda one: one.counts.get("unexplained", 0)),
    ),
    _lots,
)


def _of(one: LotCount, bucket: str) -> int:
    return sum(count for name, count in one.counts.items() if name.startswith(bucket))


def _parts(asked: Asked) -> tuple[PartAt, ...]:
    return stock.shelf(asked.member.collection).parts


PARTS = Listing(
    "parts",
    "Parts",
    (
        Column("code", lambda one: one.part.code),
        Column("type", lambda one: one.part.type.code),
        Column("lot", lambda one: one.part.lot.code if one.part.lot else ""),
        Column("origin", lambda one: one.part.get_origin_display()),
        Column("marking as seen", lambda one: one.part.marking),
        Column("units", lambda one: one.part.units),
        Column("condition", lambda one: one.state.condition),
        Column("grade", lambda one: one.state.grade),
        Column("fitted in", lambda one: one.state.fitted_in or ""),
        Column("HT hours it brought along", lambda one: one.part.hours_before),
        Column("heater hours it brought along", lambda one: one.part.heater_before),
    ),
    _parts,
)


# -- the book --------------------------------------------------------------------------------
def _book(asked: Asked) -> Iterator[BookLine]:
    """Every entry that the page would show, page by page."""
    kind, subject = asked.query.get("kind", ""), asked.query.get("subject", "").strip().upper()
    below = None
    while page := ledger.book_page(
        asked.member.collection, below=below, kind=kind, subject=subject, limit=500
    ):
        yield from page
        below = page[-1].event.sequence


BOOK = Listing(
    "book",
    "The book",
    (
        Column("entry", lambda line: line.event.sequence),
        Column("written (UTC)", lambda line: line.event.recorded_at),
        Column("happened (EDTF)", lambda line: line.event.happened),
        Column("kind", lambda line: line.event.kind),
        Column("about", lambda line: line.event.subject.code),
        Column("what it says", lambda line: line.sentence),
        Column("words", lambda line: line.words),
        Column("known from", lambda line: line.event.source),
        Column("who said so", lambda line: line.event.source_note),
        Column("how sure", lambda line: line.event.certainty),
        Column("written by", lambda line: line.who),
        Column("puts right", lambda line: line.event.corrects),
        Column("put right by", lambda line: line.corrected_by),
        Column("words taken out", lambda line: line.gone_words),
        Column("leaf", lambda line: line.event.leaf),
    ),
    _book,
)


# -- work ------------------------------------------------------------------------------------
def _due(asked: Asked) -> Iterator[DueLine]:
    board = due.board(asked.member.collection, today=asked.today)
    for name in DUE:
        yield from getattr(board, name)


DUE_WORK = Listing(
    "due",
    "What is due",
    (
        Column("piece", lambda line: line.piece.code),
        Column("called", lambda line: line.piece.called),
        Column("what", lambda line: line.plan.what),
        Column("standing", lambda line: line.due.standing),
        Column("how full", lambda line: line.due.words),
        Column("last done", lambda line: line.due.last_on),
        Column("due by", lambda line: line.due.by),
        Column("what the interval rests on", lambda line: line.plan.basis),
    ),
    _due,
)


def _faults(asked: Asked) -> Iterator[FaultLine]:
    for fault in faults(asked.member.collection).order_by("piece__code", "code"):
        yield FaultLine(fault)


FAULTS = Listing(
    "faults",
    "Faults",
    (
        Column("code", lambda line: line.fault.code),
        Column("piece", lambda line: line.fault.piece.code),
        Column("called", lambda line: line.fault.piece.called),
        Column("symptom", lambda line: line.fault.symptom),
        Column("condition", lambda line: line.words),
        Column("shows without it", lambda line: line.clean),
        Column("shows that prove it", lambda line: line.fault.proven_after_shows),
        Column("opened (UTC)", lambda line: line.fault.opened_at),
    ),
    _faults,
)


def _jobs(asked: Asked) -> Iterator[JobLine]:
    for job in jobs(asked.member.collection):
        yield line_of(job, today=asked.today)


JOBS = Listing(
    "jobs",
    "Jobs",
    (
        Column("code", lambda line: line.job.code),
        Column("repairer", lambda line: line.job.repairer.name),
        Column("pieces", lambda line: "; ".join(one.code for one in line.job.pieces.all())),
        Column("stage", lambda line: line.stage),
        Column("sent", lambda line: line.job.sent_on),
        Column("promised for", lambda line: line.job.due_on),
        Column("days overdue", lambda line: line.overdue_days),
    ),
    _jobs,
)

"""The whole stock of a collection in a fixed number of queries, whatever its size."""

from django.db.models import Prefetch

from collection.catalogue.models import Piece, Position
from collection.core.state import State as Known
from collection.core.state import from_json
from collection.ledger.models import Event, Subject
from collection.stock.counting import in_words
from collection.stock.lives import lives_of
from collection.stock.models import UNKNOWN, Lot, Outlook, Part, PartType, PullChoice
from collection.stock.queries.log import MOVES, PLAYED, logged, moves_of, runs_of
from collection.stock.records import Home, LotCount, PartAt, Shelf, TestRun
from registry.access.models import Collection

LOGGED = (*MOVES, "tested", PLAYED)


def shelf(collection: Collection) -> Shelf:
    """Types, lots, parts, what the log says of them and where they can be fitted."""
    told = logged(collection, LOGGED)
    return Shelf(
        types=tuple(PartType.objects.of(collection).exclude(code=UNKNOWN)),
        lots=tuple(_lots(collection)),
        parts=tuple(_parts(collection)),
        homes=tuple(_homes(collection)),
        fittings=tuple(moves_of(told)),
        tests=tuple(_test(one.event) for one in told if one.event.kind == "tested"),
        shows=tuple(runs_of(told, collection)),
        choices=tuple(PullChoice.objects.of(collection).select_related("type")),
        outlooks=tuple(Outlook.objects.of(collection).select_related("type")),
    )


def count_of(lot: Lot) -> LotCount:
    """One lot with its counts; its subject and state are loaded with it."""
    return LotCount(lot, dict(_known(lot.subject).counts))


def part_with_hours(shelf: Shelf, part: Part) -> dict[str, object]:
    """A part, its state, and its life on HT hours (None before it was ever fitted)."""
    at = PartAt(part, _known(part.subject))
    lives = lives_of([at], shelf.fittings, shelf.shows, clock=PartType.Clock.HT)
    words = in_words(at.state.grade or "")
    life = lives[0] if lives else None
    return {"part": part, "state": at.state, "life": life, "bucket_words": words}


def _known(subject: Subject) -> Known:
    row = getattr(subject, "state", None)
    return from_json(row.detail) if row else Known()


def _lots(collection: Collection) -> list[LotCount]:
    rows = Lot.objects.of(collection).select_related("type", "subject__state")
    return [LotCount(lot, dict(_known(lot.subject).counts)) for lot in rows]


def _parts(collection: Collection) -> list[PartAt]:
    rows = Part.objects.of(collection).select_related("type", "lot", "subject__state")
    return [PartAt(part, _known(part.subject)) for part in rows]


def _homes(collection: Collection) -> list[Home]:
    positions = Prefetch("circuit__positions", queryset=Position.objects.order_by("order"))
    rows = Piece.objects.of(collection).filter(circuit__isnull=False)
    rows = rows.select_related("design", "circuit", "subject__state").prefetch_related(positions)
    return [_home(piece) for piece in rows]


def _home(piece: Piece) -> Home:
    state = getattr(piece.subject, "state", None)
    return Home(
        code=piece.code,
        called=piece.called,
        standing=state.standing if state else "held",
        tagged_out=bool(state and state.tagged_out),
        positions=tuple(piece.circuit.positions.all()),
        kin=piece.design.name if piece.design else piece.circuit.name,
    )


def _test(event: Event) -> TestRun:
    passed = dict(event.facts.get("passed", ()))
    return TestRun(event.subject.code, passed, event.facts.get("failed", 0))

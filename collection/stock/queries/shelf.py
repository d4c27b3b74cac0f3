"""The whole stock of a collection in a fixed number of queries, whatever its size."""

from datetime import date
from decimal import Decimal, InvalidOperation

from django.db.models import Prefetch

from collection.catalogue.models import Piece, Position
from collection.core.entry import UNKNOWN_US, from_us
from collection.core.state import State as Known
from collection.core.state import from_json
from collection.ledger.models import Event, Subject
from collection.ledger.queries import superseded
from collection.stock.lives import lives_of
from collection.stock.models import Lot, Outlook, Part, PartType, PullChoice
from collection.stock.records import Fitting, Home, LotCount, PartAt, Shelf, ShowPlayed, TestRun
from registry.access.models import Collection

LOGGED = ("issued", "pulled", "died_in_use", "tested", "played")


def shelf(collection: Collection) -> Shelf:
    """Types, lots, parts, what the log says of them and where they can be fitted."""
    logged = _logged(collection)
    return Shelf(
        types=tuple(PartType.objects.of(collection)),
        lots=tuple(_lots(collection)),
        parts=tuple(_parts(collection)),
        homes=tuple(_homes(collection)),
        fittings=tuple(_fitting(e) for e in logged if e.kind in LOGGED[:3]),
        tests=tuple(_test(e) for e in logged if e.kind == "tested"),
        shows=tuple(_show(e, collection) for e in logged if e.kind == "played"),
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
    return {"part": part, "state": at.state, "life": lives[0] if lives else None}


def _logged(collection: Collection) -> list[Event]:
    rows = Event.objects.of(collection).filter(~superseded(), kind__in=LOGGED)
    needed = rows.only("sequence", "kind", "facts", "placed_us", "subject__code")
    return list(needed.select_related("subject").order_by("placed_us", "sequence"))


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
    )


def _fitting(event: Event) -> Fitting:
    facts = event.facts
    return Fitting(
        kind=event.kind,
        part=facts.get("part", ""),
        piece=facts.get("piece", ""),
        position=facts.get("position", ""),
        hours=decimal(facts.get("hours_before" if event.kind == "issued" else "hours", "")),
        at=(event.placed_us, event.sequence),
    )


def _test(event: Event) -> TestRun:
    passed = dict(event.facts.get("passed", ()))
    return TestRun(event.subject.code, passed, event.facts.get("failed", 0))


def _show(event: Event, collection: Collection) -> ShowPlayed:
    facts = event.facts
    return ShowPlayed(
        at=(event.placed_us, event.sequence),
        on=_day(event.placed_us, collection),
        heater=decimal(facts.get("heater_hours", "")),
        ht=decimal(facts.get("ht_hours", "")),
        pieces=frozenset((*facts.get("pieces", ()), *facts.get("troubled", ()))),
    )


def _day(placed_us: int, collection: Collection) -> date | None:
    if placed_us == UNKNOWN_US:
        return None
    return from_us(placed_us).astimezone(collection.zone_info).date()


def decimal(text: str) -> float | None:
    """Hours from the book's text; None when there are none or they cannot be read."""
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    return float(number) if number.is_finite() and number >= 0 else None

"""What pieces are worth by the book, newest valuation first, and over time."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from collection.catalogue.models import Piece
from collection.core.drawing.steps import StepPlot, step_plot
from collection.core.entry import UNKNOWN_US, from_us
from collection.core.insurance import Item, review_due
from collection.core.wording import amount
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from registry.access.models import Collection


@dataclass(frozen=True)
class Value:
    """A value of a piece: minor units, currency, basis, day and valuer; `entry` None: a row's."""

    minor: int
    currency: str
    basis: str = ""
    on: date | None = None
    valuer: str = ""
    entry: int | None = None

    def old(self, today: date) -> bool:
        """Whether it should be looked at again."""
        return review_due(self.on, today)


def entries(collection: Collection) -> QuerySet[Event]:
    """Valuations that stand in the book, in order of happening."""
    found = Event.objects.of(collection).filter(~superseded(), kind="valued")
    return found.order_by("placed_us", "sequence")


def histories(collection: Collection, *, until_us: int | None = None) -> dict[int, list[Value]]:
    """Every value by the piece's key, oldest first; 1 query."""
    rows = entries(collection)
    if until_us is not None:
        rows = rows.filter(placed_us__lte=until_us)
    found: dict[int, list[Value]] = defaultdict(list)
    for event in rows:
        found[event.subject_id].append(_value(event, collection))
    return dict(found)


def history_of(piece: Piece) -> list[Value]:
    """Every value of one piece, oldest first; 1 query."""
    rows = entries(piece.collection).filter(subject=piece.subject)
    return [_value(event, piece.collection) for event in rows]


def _value(event: Event, collection: Collection) -> Value:
    known = event.placed_us != UNKNOWN_US
    on = from_us(event.placed_us).astimezone(collection.zone_info).date() if known else None
    facts = event.facts
    return Value(
        facts["value_minor"], facts["currency"], facts.get("basis", ""), on, event.source_note,
        event.sequence,
    )  # fmt: skip


def value_of(piece: Piece, known: list[Value] | None, *, now: bool = True) -> Value | None:
    """Its newest value; what its row says instead when somebody changed that without a valuation.

    `now`: False for a past day, of which the row says nothing when the book does.
    """
    newest = known[-1] if known else None
    if piece.value_minor is None or (newest and not now):
        return newest
    same = newest and (newest.minor, newest.currency) == (piece.value_minor, piece.value_currency)
    return newest if same else Value(piece.value_minor, piece.value_currency)


def item(piece: Piece, value: Value | None) -> Item:
    """The piece as the core adds it up."""
    return Item(piece.code, value.minor, value.currency) if value else Item(piece.code, None)


def plots(several: Iterable[list[Value]], *, until: date) -> list[tuple[str, StepPlot]]:
    """A step line for each currency: the sum of what was known to be worth how much by then."""
    changes: dict[str, dict[date, int]] = defaultdict(lambda: defaultdict(int))
    for history in several:
        before: Value | None = None
        for value in history:
            if value.on is None:
                continue
            if before is not None:
                changes[before.currency][value.on] -= before.minor
            changes[value.currency][value.on] += value.minor
            before = value
    return [(currency, _plot(days, currency, until)) for currency, days in sorted(changes.items())]


def _plot(days: dict[date, int], currency: str, until: date) -> StepPlot:
    points, total = [], 0
    for on in sorted(days):
        total += days[on]
        points.append((on, round(amount(total, currency))))
    plot = step_plot(points, until=until, unit=currency)
    assert plot is not None  # a currency is here only because something was valued in it
    return plot

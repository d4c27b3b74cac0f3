"""A stock kept in memory between one what-if and the next, for as long as nothing has changed.

What is reckoned from the book can change only with the book, and the frontier of its head is a
hash of every entry. What lies beside the book (types, choices, assumptions, charts of circuits,
lots) is small and read each time. So a kept stock is never an old one: it is found by the
contents of both, and a process that has kept nothing reads everything. A full page reads
everything too, and leaves it here for the what-ifs that follow.
"""

from collections import OrderedDict
from datetime import date
from threading import Lock
from typing import Any

from collection.catalogue.models import Piece, Position
from collection.ledger.models import Head
from collection.stock.bookings import Booking
from collection.stock.forecast import Prospect
from collection.stock.models import Lot, Outlook, PartType, PullChoice
from collection.stock.queries.shelf import shelf
from registry.access.models import Collection

KEPT = 24  # prospects, each some hundred kilobytes
_kept: OrderedDict[Any, Prospect | None] = OrderedDict()
_lock = Lock()  # requests may run in threads of one process


def kept_prospect(
    collection: Collection,
    code: str,
    *,
    today: date,
    bookings: tuple[Booking, ...],
    afresh: bool = False,
) -> Prospect | None:
    """The prospect of a type, None where there is no such type; 7 queries when it is kept.

    `afresh`: read it in any case, and keep it.
    """
    # The contents are read first: what is written in between is then read once more, never missed.
    key = (collection.pk, str(collection.zone), code, today, bookings, _contents(collection))
    if not afresh:
        with _lock:
            if key in _kept:
                _kept.move_to_end(key)
                return _kept[key]
    stock = shelf(collection).stock(code)
    found = None if stock is None else Prospect(stock, today=today, bookings=bookings)
    with _lock:
        _kept[key] = found
        while len(_kept) > KEPT:
            _kept.popitem(last=False)
    return found


def _contents(collection: Collection) -> tuple[Any, ...]:
    """Everything a prospect is made of, as text that differs when any of it does."""
    pieces = Piece.objects.of(collection).order_by("pk")
    charts = Position.objects.filter(circuit__collection=collection)
    rows = (
        Head.objects.filter(collection=collection).values_list("size", "frontier"),
        PartType.objects.of(collection).values_list(),
        PullChoice.objects.of(collection).values_list("pk", "type_id", "pull_hours", "chosen_by"),
        Outlook.objects.of(collection).order_by("pk").values_list(),
        Lot.objects.of(collection).values_list(),
        charts.order_by("pk").values_list(),
        pieces.values_list("code", "name", "family", "kind", "design__name", "circuit__name"),
    )
    return tuple(repr(list(some)) for some in rows)

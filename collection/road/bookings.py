"""Planned tours as the stock asks for them, rig plans as loans ask for them."""

from collections.abc import Iterable, Sequence
from datetime import date

from collection.custody.loans.plans import Needed
from collection.road.models import RigPosition, Show
from collection.stock.bookings import Booking
from registry.access.models import Collection


def planned_tours(collection: Collection, today: date) -> Sequence[Booking]:
    """Tours with shows from today on that nobody has logged yet; 1 query."""
    rows = Show.objects.of(collection).filter(on__gte=today).select_related("tour")
    coming = rows.exclude(subject__entries__kind="played").order_by("on", "number")
    days: dict[tuple[str, str], list[date]] = {}
    for show in coming:
        days.setdefault((show.tour.code, show.tour.name), []).append(show.on)
    return [Booking(code, name, tuple(found)) for (code, name), found in days.items()]


def needed_by_rigs(
    collection: Collection, codes: Iterable[str], begins: date, ends: date
) -> Sequence[Needed]:
    """Pieces that a rig plan names, with the first show of the period each; 2 queries."""
    shows: dict[int, Show] = {}
    rows = Show.objects.of(collection).filter(on__gte=begins, on__lte=ends)
    for show in rows.select_related("venue", "tour").order_by("on", "number"):
        shows.setdefault(show.tour_id, show)
    wanted = list(codes)
    planned = RigPosition.objects.filter(tour__in=list(shows)).select_related("piece", "backup")
    return [
        Needed(piece.code, str(shows[one.tour_id]), shows[one.tour_id].on, as_what)
        for one in planned
        for piece, as_what in ((one.piece, f"planned at position {one}"),
                               (one.backup, f"the backup of position {one}"))
        if piece is not None and piece.code in wanted
    ]  # fmt: skip

"""Planned tours as the stock asks for them."""

from collections.abc import Sequence
from datetime import date

from collection.road.models import Show
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

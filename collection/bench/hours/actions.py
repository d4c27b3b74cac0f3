"""Writing a meter down."""

from collection.core.events.meter_read import MeterRead
from collection.ledger.actions import open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership


def read_meter(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    hours: str,
    clock_of: str = "heater",
    replaced: bool = False,
    old_read: str = "",
    telling: Telling | None = None,
) -> Event:
    """An hour meter was read; one that goes back or was replaced is written and asked."""
    telling = telling or Telling(happened=clock.today(collection.zone_info).isoformat())
    facts = MeterRead(hours=hours, clock=clock_of, replaced=replaced, old_read=old_read)
    with open_book(collection, by) as book:
        return book.append(facts, code, telling)

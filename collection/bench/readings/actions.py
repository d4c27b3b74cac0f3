"""Writing readings into the book."""

from collection.core.events.measured import Measured, SocketRead
from collection.ledger.actions import open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership


def measure(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    bias: str,
    method: str,
    sockets: list[SocketRead],
    mains_volts: str = "",
    minutes_warm: int | None = None,
    meter: str = "",
    bias_volts: str = "",
    shared_by: int = 1,
    sure: tuple[str, ...] = (),
    telling: Telling | None = None,
) -> Event:
    """Idle currents and volts of a piece were read; every number is a decimal as text."""
    facts = Measured(
        bias=bias,
        method=method,
        sockets=tuple(one.row() for one in sockets),
        mains_volts=mains_volts,
        minutes_warm=minutes_warm,
        meter=meter,
        bias_volts=bias_volts,
        shared_by=shared_by,
        sure=sure,
    )
    today = Telling(happened=clock.today(collection.zone_info).isoformat())
    with open_book(collection, by) as book:
        return book.append(facts, code, telling or today)

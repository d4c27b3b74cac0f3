"""Days that a part has been fitted, for what ages whether it is played or not.

Belts, reeds and rubber go by the calendar. Days are counted from the moment an entry stands at to
the next; what a part brought along is not known in days, so it counts from when it was fitted.
"""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time

from collection.core.entry import UNKNOWN_US, to_us
from collection.stock.records import Fitting
from collection.stock.running import Ran

DAY_US = 86_400_000_000


def run_in_days(moves: Sequence[Fitting], *, today: date | None) -> Ran | None:
    """Days of one part from its moves, in order; None when it was never fitted."""
    if today is None:
        raise ValueError("days fitted need today's date")
    if not moves:
        return None
    now_us = to_us(datetime.combine(today, time(12), tzinfo=UTC))
    days, here = 0.0, None
    for move in moves:
        if here is not None:
            days += _days(here, move.at[0])
        here = move if move.goes_in else None
    if here is None:
        return Ran(days, 0.0, 0, moves[-1].died, None)
    days += _days(here, now_us)
    return Ran(days, 0.0, 0, False, here.at, here.piece, here.position)


def _days(since: Fitting, until_us: int) -> float:
    """Days between; none where nobody knows since when it has been in."""
    return 0.0 if since.at[0] == UNKNOWN_US else max(0, until_us - since.at[0]) / DAY_US

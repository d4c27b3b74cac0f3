"""The strip under an output tube: hours on it, and where the last sets were pulled."""

from collections.abc import Sequence
from dataclasses import dataclass

from collection.core.drawing.scale import place

ROOM = 1.45  # house rule: the scale runs so far past the last pull, so that an overrun shows
ROUND = 25


@dataclass(frozen=True)
class PullStrip:
    """Percentages of the width: the hours on it, the first and the last pull of the bracket."""

    hours: float
    low: float
    high: float
    first_hours: float
    last_hours: float
    sets: int


def pull_strip(hours: float, pulled_at: Sequence[float]) -> PullStrip | None:
    """Hours HT on a part beside the hours at which earlier ones were pulled; None without any.

    >>> strip = pull_strip(231, (190, 240, 262, 290))
    >>> strip.hours, strip.low, strip.high
    (54.35, 44.71, 68.24)
    """
    if not pulled_at:
        return None
    first, last = min(pulled_at), max(pulled_at)
    most = max(hours, last * ROOM, 1.0)
    end = -(-most // ROUND) * ROUND
    return PullStrip(
        place(hours, 0, end), place(first, 0, end), place(last, 0, end), first, last, len(pulled_at)
    )

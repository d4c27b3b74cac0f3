"""Load-out: what a count at the truck door has found, when its link ends, where things are left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

# House rules: a link for a load-out ends at nine the next morning, and opens three hours at least.
LINK_ENDS = time(9)
LINK_OPENS_AT_LEAST = timedelta(hours=3)

# Where things are left behind. Common practice, no source; every collection edits its own.
WALK = (
    "under the drum riser",
    "behind the organ and the backline",
    "stage left, at the dimmers",
    "stage right, behind the curtain",
    "front of house and monitor desk",
    "dressing rooms: table, shower, behind the door",
    "power sockets: chargers, plug tops, transformers",
    "production office",
    "dock and ramp, behind the bins",
    "the house’s own case stack",
)


@dataclass(frozen=True)
class Tally:
    """How many of what belongs in the truck were counted, and the names of the rest."""

    counted: int
    total: int
    missing: tuple[str, ...]

    @property
    def complete(self) -> bool:
        """Whether everything was counted."""
        return not self.missing

    def sentence(self) -> str:
        """The count in words.

        >>> Tally(21, 22, ("case 14",)).sentence()
        '21 of 22, not found: case 14'
        >>> Tally(2, 2, ()).sentence()
        '2 of 2'
        """
        head = f"{self.counted} of {self.total}"
        return head if self.complete else f"{head}, not found: {', '.join(self.missing)}"


def tally(tiles: Sequence[tuple[str, str]], seen: frozenset[str]) -> Tally:
    """Count (code, name) against the codes that were seen; a code twice counts once.

    >>> tally([("CASE-01", "case 1"), ("CASE-02", "case 2")], frozenset({"CASE-02", "X"}))
    Tally(counted=1, total=2, missing=('case 1',))
    """
    names = dict(tiles)
    missing = tuple(name for code, name in names.items() if code not in seen)
    return Tally(len(names) - len(missing), len(names), missing)


def link_ends(now: datetime, zone: ZoneInfo) -> datetime:
    """When a link made at `now` ends: nine in the morning there, at least three hours away.

    Raises:
        ValueError: `now` has no zone.
    """
    if now.tzinfo is None:
        raise ValueError("the moment a link is made needs a zone")
    soonest = (now + LINK_OPENS_AT_LEAST).astimezone(zone)
    ends = datetime.combine(soonest.date(), LINK_ENDS, tzinfo=zone)
    if ends < soonest:
        ends = datetime.combine(soonest.date() + timedelta(days=1), LINK_ENDS, tzinfo=zone)
    return ends

"""What freight is asked about: shock indicators, dangerous goods, lateness.

Limits: how long a cold case must stay shut is not computed. Sources differ from ten minutes to
a whole day, so the register asks whether somebody waited and keeps how long.
"""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

# Shipping labels that a knock or a fall changes for good; common practice, no source.
INDICATORS = {
    "none": "none on it",
    "untripped": "shock or tilt indicator: untripped",
    "tripped": "shock or tilt indicator: tripped",
}
CAUTIONS = {
    "lithium": "lithium cells inside",
    "solvent": "solvent, cleaner or spray inside",
    "glass": "glass inside: tubes, lamps",
}
ON_THE_WAY, PART_ARRIVED, ARRIVED = "on the way", "part arrived", "arrived"


def late(expected: datetime, now: datetime) -> bool:
    """Whether an expected arrival has passed; both aware."""
    return now > expected


def expected_words(expected: datetime, now: datetime, zone: ZoneInfo) -> str:
    """When it is expected, on the clock of where it goes; the day is left out when it is today.

    >>> from datetime import UTC
    >>> oslo = ZoneInfo("Europe/Oslo")
    >>> at = datetime(2026, 11, 24, 17, 40, tzinfo=UTC)
    >>> expected_words(at, datetime(2026, 11, 24, 14, 20, tzinfo=UTC), oslo)
    '18:40'
    >>> expected_words(at, datetime(2026, 11, 23, 14, 20, tzinfo=UTC), oslo)
    'Tue 24 Nov, 18:40'
    """
    there, today = expected.astimezone(zone), now.astimezone(zone).date()
    if there.date() == today:
        return f"{there:%H:%M}"
    return f"{there:%a} {there.day} {there:%b, %H:%M}"

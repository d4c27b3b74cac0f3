"""What follows from a day sheet: hours on the heaters and with high tension, the day's line."""

from datetime import datetime, timedelta

from collection.core.drawing import Moment
from collection.road.models import DAY_SHEET, Show

WORDS = {
    "load_in": "load-in",
    "line_check": "line check",
    "doors": "doors",
    "on_stage": "on stage",
    "off_stage": "off",
    "curfew": "curfew",
}


def heater_hours(show: Show) -> str:
    """Decimal hours from line check until off stage, when the heaters are on; '' if unknown."""
    return _hours(show.instant("line_check") or show.instant("on_stage"), show)


def ht_hours(show: Show) -> str:
    """Decimal hours from going on stage until off, with high tension on; '' if unknown."""
    return _hours(show.instant("on_stage"), show)


def _hours(start: datetime | None, show: Show) -> str:
    end = show.instant("off_stage")
    if start is None or end is None or end <= start:
        return ""
    return f"{(end - start) / timedelta(hours=1):.2f}".rstrip("0").rstrip(".")


def moments(show: Show) -> list[Moment]:
    """The times of the day sheet in order, on the venue's clock."""
    found = [(show.instant(name), WORDS[name]) for name in DAY_SHEET]
    return [Moment(at, words) for at, words in found if at is not None]


def day_line(show: Show, *, now: datetime) -> tuple[datetime, datetime] | None:
    """Start and end of the strip of the day; None for a sheet with fewer than two times.

    A load-in long before the rest would squeeze the evening: the line starts an hour before
    now, or at the first time when that is later.
    """
    times = [moment.at for moment in moments(show)]
    if len(times) < 2:
        return None
    end = max(times)
    begun = [at for at in times if at <= now]
    start = max(begun, default=min(times)) if begun else min(times)
    return min(start, end - timedelta(hours=2)), end

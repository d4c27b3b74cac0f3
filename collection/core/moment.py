"""Instants that say which zone they are in, and how they are written.

Two datetimes that share one zone object are compared and subtracted by Python as wall
clock readings, which is an hour wrong across a change to or from summer time. Arithmetic
here is done in UTC, and only what is shown is turned into local time.
"""

from datetime import UTC, date, datetime, timedelta


def require_aware(value: datetime, what: str) -> datetime:
    """Give `value` back, or raise ValueError when it names no time zone."""
    if value.tzinfo is None or value.utcoffset() is None:
        raise ValueError(
            f"{what} ({value.isoformat(' ')}) names no time zone; give it one, "
            "or nobody knows which clock is meant."
        )
    return value


def utc(value: datetime) -> datetime:
    """The same instant in UTC, so that it may be compared and subtracted."""
    return value.astimezone(UTC)


def spoken(length: timedelta) -> str:
    """A length of time as a call sheet writes it: '25 s', '10 min', '1 h 05', '26 h'."""
    seconds = round(length.total_seconds())
    if seconds < 60:
        return f"{seconds} s"
    minutes = round(seconds / 60)
    if minutes < 60:
        return f"{minutes} min"
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest:02d}" if rest else f"{hours} h"


def day(value: date) -> str:
    """A day in words: '3 November 2026'."""
    return f"{value.day} {value:%B} {value.year}"

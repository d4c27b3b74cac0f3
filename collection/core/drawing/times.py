"""Strips of time: the hours of a day with what happens in it, and a window of years."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from collection.core.drawing.scale import Label, labels, place

ROOM = 17.0  # percent a label of the day strip needs on a phone
NARROW = 34.0  # percent of a year window under which its two ends share one label


@dataclass(frozen=True)
class Moment:
    """Something at a time of the day: when (aware) and what, in one or two words."""

    at: datetime
    words: str


@dataclass(frozen=True)
class DayStrip:
    """A line with a tick an hour, labels below it, and where now is (None: outside)."""

    ticks: tuple[float, ...]
    labels: tuple[Label, ...]
    now: float | None
    lines: int


@dataclass(frozen=True)
class YearStrip:
    """A window on a line of years: ticks, the box, its firm core, open ends, labels."""

    ticks: tuple[float, ...]
    x: float
    width: float
    best: tuple[float, float] | None
    open_start: bool
    open_end: bool
    labels: tuple[Label, ...]


def day_strip(
    moments: Sequence[Moment], *, start: datetime, end: datetime, now: datetime | None
) -> DayStrip:
    """Lay `moments` on the line from `start` to `end`, all aware and in one zone.

    Moments outside the line are left out. Hours are counted on the zone's clock.

    Raises:
        ValueError: `end` is not after `start`.
    """
    first, last = start.timestamp(), end.timestamp()
    shown = [moment for moment in moments if start <= moment.at <= end]
    points = [
        (place(one.at.timestamp(), first, last), f"{one.at:%H:%M}", one.words) for one in shown
    ]
    set_down = labels(points, ROOM)
    inside = now is not None and start <= now <= end
    return DayStrip(
        tuple(place(hour, first, last) for hour in _full_hours(start, end)),
        set_down,
        place(now.timestamp(), first, last) if now and inside else None,
        1 + max((label.level for label in set_down), default=0),
    )


def _full_hours(start: datetime, end: datetime) -> list[float]:
    hour = start.replace(minute=0, second=0, microsecond=0)
    hour += timedelta(hours=1) if hour < start else timedelta()
    hours = []
    while hour <= end:
        hours.append(hour.timestamp())
        hour += timedelta(hours=1)
    return hours


def year_strip(
    earliest: int | None,
    latest: int | None,
    *,
    best: tuple[int, int] | None,
    first: int,
    last: int,
) -> YearStrip:
    """Draw the window `earliest` to `latest`, whole years, on the years `first` to `last`.

    A year takes its full width, so 1964 to 1968 is five years wide. None is an open end, and
    so is a bound outside the scale. `best` is the likeliest span within the window.

    Raises:
        ValueError: a window that ends before it starts, or that the scale does not meet.
    """
    low, high = earliest if earliest is not None else first, latest if latest is not None else last
    if high < low:
        raise ValueError(f"the window ends in {high}, before it starts in {low}")
    if high < first or low > last:
        raise ValueError(f"the window {low} to {high} lies outside {first} to {last}")
    x, right = place(low, first, last + 1), place(high + 1, first, last + 1)
    return YearStrip(
        tuple(place(year, first, last + 1) for year in range(first, last + 2)),
        x,
        round(right - x, 2),
        _span(best, first, last) if best else None,
        earliest is None or earliest < first,
        latest is None or latest > last,
        _year_labels(x, right, earliest, latest),
    )


def _span(years: tuple[int, int], first: int, last: int) -> tuple[float, float]:
    x, right = place(years[0], first, last + 1), place(years[1] + 1, first, last + 1)
    return x, round(right - x, 2)


def _year_labels(
    x: float, right: float, earliest: int | None, latest: int | None
) -> tuple[Label, ...]:
    """Both ends named at their ends where there is room, else together in the middle."""
    if earliest is not None and latest is not None and right - x >= NARROW:
        return Label(x, str(earliest), "", "", 0), Label(right, str(latest), "", "end", 0)
    words = _window_words(earliest, latest)
    if right > 80:
        return (Label(right, words, "", "end", 0),)
    return (Label(x, words, "", "", 0),)


def _window_words(earliest: int | None, latest: int | None) -> str:
    if earliest is None:
        return "not known" if latest is None else f"{latest} or before"
    if latest is None:
        return f"{earliest} or after"
    return str(earliest) if earliest == latest else f"{earliest} to {latest}"

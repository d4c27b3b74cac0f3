"""Planned tours, told by whoever plans them: the stock itself knows no tour.

The road stands above the stock and may not be imported here, yet one figure should stand on every
page; so `collection/apps.py` hands in the function that reads the plans.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.access.models import Collection

DAYS_A_MONTH = 365.25 / 12


@dataclass(frozen=True)
class Booking:
    """A planned tour with the days of its shows still to come."""

    code: str
    name: str
    days: tuple[date, ...]

    @property
    def last_on(self) -> date:
        """The day of its last show."""
        return max(self.days)


Told = Callable[[Collection, date], Sequence[Booking]]
_sources: list[Told] = []


def told_by(source: Told) -> None:
    """Name what tells of planned tours; the newest word stands."""
    _sources[:] = [source]


def planned(collection: Collection, today: date) -> tuple[Booking, ...]:
    """Tours with shows from today on, the first to end first."""
    found = [one for source in _sources for one in source(collection, today)]
    return tuple(sorted((one for one in found if one.days), key=lambda one: one.last_on))


def shows_by_month(bookings: Iterable[Booking], today: date) -> tuple[int, ...]:
    """Planned shows in each month from now, up to the last month that has one.

    >>> shows_by_month([Booking("T", "T", (date(2026, 1, 5), date(2026, 3, 5)))], date(2026, 1, 1))
    (1, 0, 1)
    """
    months = [month_of(day, today) for one in bookings for day in one.days]
    return tuple(months.count(month) for month in range(max(months, default=-1) + 1))


def month_of(day: date, today: date) -> int:
    """Number of the month from now, from 0, that a day falls in."""
    return int((day - today).days / DAYS_A_MONTH)


def years_until_played(last_on: date, bookings: Iterable[Booking], today: date) -> float:
    """The moment on the forecast's calendar at which every show up to a day has been played.

    That calendar spreads the shows of a month evenly over it, so a tour's last day alone would
    leave some of its shows unplayed.

    >>> tour = Booking("T", "T", (date(2026, 1, 2), date(2026, 1, 3), date(2026, 1, 25)))
    >>> 12 * years_until_played(date(2026, 1, 3), [tour], date(2026, 1, 1)) == 2 / 3
    True
    """
    month = month_of(last_on, today)
    days = [day for one in bookings for day in one.days if month_of(day, today) == month]
    return (month + sum(day <= last_on for day in days) / len(days)) / 12

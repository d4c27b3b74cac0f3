"""When work that comes round is due: by shows, by hours on either clock, by days, after other work.

Nothing here is red: an interval is a house rule somebody chose, and running over it by a little
is no danger. How long anything really lasts is not claimed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Final, Literal

MEASURES: Final[dict[str, str]] = {
    "shows": "shows",
    "ht-hours": "hours of high tension",
    "heater-hours": "hours of heaters",
    "days": "days",
    "after": "after other work",
}
Standing = Literal["due", "coming", "later", "unwritten"]
NOUGHT: Final = Decimal(0)


@dataclass(frozen=True)
class Use:
    """One show or session of a piece: local day, place in the order of happening, hours.

    `at_us`: microseconds since 0001-01-01 UTC, for a show to come that of its day's start.
    """

    on: date
    at_us: int
    ht_hours: Decimal = NOUGHT
    heater_hours: Decimal = NOUGHT


@dataclass(frozen=True)
class Interval:
    """How often: `every` of a key of MEASURES."""

    every: Decimal
    measured_by: str


@dataclass(frozen=True)
class Due:
    """Where a piece stands in an interval.

    `used` since it was last done, of `every`; `by`: the first day on which it is due, None when
    that lies beyond the shows that are planned. `last_on`: None when the book has no such line.
    """

    standing: Standing
    used: Decimal
    every: Decimal
    measured_by: str
    last_on: date | None
    by: date | None

    @property
    def share(self) -> Decimal:
        """Used of the interval, 1 when it is full; for the order of a list."""
        return self.used / self.every

    @property
    def words(self) -> str:
        """'12 of 10 shows', '38.5 of 50 hours of high tension', 'new tubes since'."""
        if self.measured_by == "after":
            return f"{self.used:f} since" if self.used else "none since"
        return f"{_plain(self.used)} of {_plain(self.every)} {MEASURES[self.measured_by]}"


def due(
    interval: Interval,
    *,
    last: tuple[date, int] | None,
    uses: Iterable[Use],
    coming: Sequence[Use],
    today: date,
    until: date,
) -> Due:
    """Where a piece stands on `today`, and whether it comes due by `until`.

    Args:
        last: local day and place (microseconds) of when it was last done.
        uses: shows played, in any order; those before `last` do not count.
        coming: shows planned after today, in order, with their expected hours.
        until: the day by which work would have to be seen to: the next day off.

    Work that the book has never seen is 'unwritten': it may be long due or new, nobody knows.
    'due' has its interval full today, 'coming' by `until`, 'later' after that. For 'after' the
    `uses` are the times the other work was done.
    """
    since = last[1] if last else None
    counted = [one for one in uses if since is None or one.at_us > since]
    last_on = last[0] if last else None
    if interval.measured_by == "days":
        return _by_days(interval, last_on, today=today, until=until)
    used = sum((_amount(one, interval.measured_by) for one in counted), NOUGHT)
    if interval.measured_by == "after":
        standing: Standing = "due" if used >= interval.every else "later"
        return Due(standing, used, interval.every, "after", last_on, None)
    if last is None:
        return Due("unwritten", used, interval.every, interval.measured_by, None, None)
    by = today if used >= interval.every else _full_on(interval, used, coming)
    standing = _standing(by, today=today, until=until)
    return Due(standing, used, interval.every, interval.measured_by, last_on, by)


def _by_days(interval: Interval, last_on: date | None, *, today: date, until: date) -> Due:
    if last_on is None:
        return Due("unwritten", NOUGHT, interval.every, "days", None, None)
    by = last_on + timedelta(days=int(interval.every))
    used = Decimal((today - last_on).days)
    standing = _standing(by, today=today, until=until)
    return Due(standing, used, interval.every, "days", last_on, by)


def _full_on(interval: Interval, used: Decimal, coming: Sequence[Use]) -> date | None:
    for one in coming:
        used += _amount(one, interval.measured_by)
        if used >= interval.every:
            return one.on
    return None


def _standing(by: date | None, *, today: date, until: date) -> Standing:
    if by is None or by > until:
        return "later"
    return "due" if by <= today else "coming"


def _amount(one: Use, measured_by: str) -> Decimal:
    hours = {"ht-hours": one.ht_hours, "heater-hours": one.heater_hours}
    return hours.get(measured_by, Decimal(1))


def times_a_year(interval: Interval, uses: Sequence[Use], *, today: date) -> Decimal | None:
    """How often it comes round at the use of the last 365 days; None for 'after'.

    A piece that was not played in that time comes round at no time, whatever its interval, unless
    that is in days.

    >>> times_a_year(Interval(Decimal(73), "days"), (), today=date(2026, 11, 24))
    Decimal('5')
    """
    if interval.measured_by == "after":
        return None
    if interval.measured_by == "days":
        return Decimal(365) / interval.every
    begin = today - timedelta(days=365)
    year = [one for one in uses if begin < one.on <= today]
    return sum((_amount(one, interval.measured_by) for one in year), NOUGHT) / interval.every


@dataclass(frozen=True)
class Slots:
    """The next day without a show, and the next gap long enough for the bench."""

    day_off: date
    bench: date


def slots(shows: Iterable[date], after: date, *, bench_days: int = 2) -> Slots:
    """The first day off after a day, and the first of `bench_days` days off in a row.

    `bench_days`: two free days on end make a bench slot (house rule). After the last show every
    day is off.

    >>> slots([date(2026, 11, 25), date(2026, 11, 27)], date(2026, 11, 24)).bench.isoformat()
    '2026-11-28'
    """
    taken = set(shows)
    day = after + timedelta(days=1)
    while day in taken:
        day += timedelta(days=1)
    off = day
    while any(day + timedelta(days=n) in taken for n in range(bench_days)):
        day += timedelta(days=1)
    return Slots(off, day)


def spoken_interval(every: Decimal, measured_by: str, after_what: str = "") -> str:
    """How often, in words.

    >>> spoken_interval(Decimal(1), "shows"), spoken_interval(Decimal(3650), "days")
    ('every show', 'every 10 years')
    """
    if measured_by == "after":
        times = "" if every == 1 else f"{_plain(every)} times "
        return f"{times}after {after_what}"
    if measured_by == "days" and every % 365 == 0:
        every, unit = every / 365, "years"
    else:
        unit = MEASURES[measured_by]
    return f"every {unit.removesuffix('s')}" if every == 1 else f"every {_plain(every)} {unit}"


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"

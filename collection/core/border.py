"""Crossing a customs border: on which days, with which stamps, and what must not be forgotten.

A voucher is torn off at a crossing, its counterfoil stays in the carnet and is stamped. Without
the stamp customs has no proof that the goods left, and claims duty from the chamber that issued
the carnet, which claims it from the holder. Source: Istanbul Convention (1990), Annex A, on
claims and proof of re-exportation, from memory; the gov.uk handbook on carnets. Information, not
legal advice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from collection.core.territory import customs_territory

NEVER_UNSTAMPED = (
    "Do not drive on without the stamp. Ask for it on the counterfoil, read place and date on it, "
    "and photograph it before the truck moves."
)
AFTERWARDS = (
    "Not stamped: write to the chamber that issued the carnet, keep ferry tickets, tolls and show "
    "papers as proof of where the goods were, and ask how a customs office may confirm it."
)
FOR_REPAIR = (
    "Outward processing, or a return after repair: proof of the serial on leaving, and of what was "
    "replaced on coming back. Ask customs or a forwarder before it leaves; information, not legal "
    "advice."
)
WARN_DAYS = 14  # house rule: so long before a re-export date the page says so

# Directions of a voucher, in the order in which a journey uses them.
DIRECTIONS = {
    "export": "leaving home",
    "import": "coming in",
    "transit": "passing through",
    "re-export": "leaving again",
    "re-import": "home again",
}


@dataclass(frozen=True)
class Crossing:
    """One counterfoil: day, place, country, direction, stamped or not, and whether put right.

    `out_by`: the last day of re-export that customs wrote on an import.
    """

    on: date
    place: str
    country: str
    direction: str
    stamped: bool
    put_right: bool = False
    out_by: date | None = None
    voucher: str = ""

    @property
    def open(self) -> bool:
        """Whether a stamp is missing and nothing has been done about it yet."""
        return not self.stamped and not self.put_right

    @property
    def words(self) -> str:
        """'leaving again, NO, at Oslo'."""
        return f"{DIRECTIONS[self.direction]}, {self.country}, at {self.place}"


@dataclass(frozen=True)
class Border:
    """Between two stops in different customs territories: the days on which it is crossed."""

    leaves: str
    enters: str
    first_day: date
    last_day: date
    towards: str = ""

    def is_on(self, today: date) -> bool:
        """Whether it may be crossed on that day."""
        return self.first_day <= today <= self.last_day


@dataclass(frozen=True)
class Stop:
    """A stop of a journey: the day, the two-letter country, what it is called."""

    on: date
    country: str
    name: str = ""


def borders(stops: Iterable[Stop], *, home: str = "") -> tuple[Border, ...]:
    """Customs borders between consecutive stops with a known country, in order of day.

    With `home` the way there, on the day before the first stop, and the way back, on the day
    after the last, count as well.

    >>> found = borders([Stop(date(2026, 11, 5), "GB"), Stop(date(2026, 11, 10), "NO")])
    >>> [(one.leaves, one.enters, one.last_day.day) for one in found]
    [('GB', 'NO', 10)]
    """
    known = sorted((stop for stop in stops if stop.country), key=lambda stop: stop.on)
    if known and home:
        before = Stop(known[0].on - timedelta(days=1), home, "home")
        after = Stop(known[-1].on + timedelta(days=1), home, "home")
        known = [before, *known, after]
    return tuple(
        Border(one.country, other.country, one.on, other.on, other.name)
        for one, other in pairwise(known)
        if customs_territory(one.country) != customs_territory(other.country)
    )


def still_inside(crossings: Sequence[Crossing]) -> tuple[Crossing, ...]:
    """Imports into a territory that no later re-export from it has answered."""
    inside: dict[str, Crossing] = {}
    for one in sorted(crossings, key=lambda c: c.on):
        territory = customs_territory(one.country)
        if one.direction == "import":
            inside[territory] = one
        elif one.direction == "re-export":
            inside.pop(territory, None)
    return tuple(inside.values())


def out_soon(crossings: Sequence[Crossing], *, today: date) -> tuple[Crossing, ...]:
    """Imports still open whose last day of re-export is near or past."""
    near = today + timedelta(days=WARN_DAYS)
    return tuple(c for c in still_inside(crossings) if c.out_by is not None and c.out_by <= near)


def ends_too_early(valid_until: date | None, last_return: date) -> bool:
    """Whether a carnet is over before the goods are home; its re-import has to lie within it."""
    return valid_until is not None and valid_until < last_return


def months_after(day: date, months: int) -> date:
    """The same day so many months on; the last of the month where there is none.

    >>> months_after(date(2026, 8, 31), 6)
    datetime.date(2027, 2, 28)
    """
    years, month = divmod(day.month - 1 + months, 12)
    first = date(day.year + years, month + 1, 1)
    following = date(first.year + first.month // 12, first.month % 12 + 1, 1)
    return min(first + timedelta(days=day.day - 1), following - timedelta(days=1))


def valid_at_most_until(issued_on: date, months: int) -> date:
    """The last day of a paper that is valid for so many months from its issue."""
    return months_after(issued_on, months) - timedelta(days=1)

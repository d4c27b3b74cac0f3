"""What a policy asks of a schedule, a truck and a night: sums, limits, terms, hours of notice.

Money is in minor units and kept apart by currency (ISO 4217 code): nothing here adds two of them
up. What a policy means is for the insurer to say; this reckons with the figures as entered.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from collection.core.moment import utc
from collection.core.wording import day

# A value is looked at again every three years. Source: eila.org, insurance of instruments and
# equipment, advice to owners ("reviewed every three years").
REVIEW_YEARS = 3

# How a value was found. Terms of the trade, no source.
BASES = ("agreed value", "market value", "replacement cost", "indemnity value")

# What a policy may ask of a vehicle left overnight; an unattended vehicle at night is a common
# exclusion. Source: policyholderperspective.com (2021), exclusions of fine-art and inland cover.
TERMS = {
    "locked": "locked",
    "attended": "somebody stayed with it",
    "alarm": "alarm set",
    "compound": "in a locked or guarded compound",
}


@dataclass(frozen=True)
class Item:
    """An insured piece: its code, value in minor units (None: not valued), currency."""

    code: str
    minor: int | None
    currency: str = ""


@dataclass(frozen=True)
class Load:
    """What stands together, against a limit in one currency (None: no limit)."""

    items: tuple[Item, ...]
    currency: str
    limit_minor: int | None = None
    sums: Mapping[str, int] = field(default_factory=dict)

    @property
    def sum_minor(self) -> int:
        """The sum in the currency of the limit."""
        return self.sums.get(self.currency, 0)

    @property
    def over_minor(self) -> int:
        """By how much the limit is exceeded, 0 when it is not."""
        return 0 if self.limit_minor is None else max(0, self.sum_minor - self.limit_minor)

    @property
    def others(self) -> tuple[tuple[str, int], ...]:
        """Sums in other currencies, which nobody has compared with the limit."""
        return tuple(sorted(pair for pair in self.sums.items() if pair[0] != self.currency))

    @property
    def unvalued(self) -> tuple[str, ...]:
        """Codes of what is in no sum, since nobody has valued it."""
        return tuple(item.code for item in self.items if item.minor is None)

    @property
    def remedy(self) -> tuple[str, ...]:
        """Codes that bring it under the limit when they travel elsewhere; see `lighten`."""
        return lighten([i for i in self.items if i.currency == self.currency], self.over_minor)


def load(items: Iterable[Item], *, currency: str, limit_minor: int | None) -> Load:
    """Items that stand together with their sums by currency."""
    together = tuple(sorted(items, key=lambda item: item.code))
    return Load(together, currency, limit_minor, sums(together))


def sums(items: Iterable[Item]) -> dict[str, int]:
    """Minor units by currency; items nobody has valued are left out.

    >>> sums([Item("A", 5, "EUR"), Item("B", 7, "GBP"), Item("C", 1, "EUR"), Item("D", None)])
    {'EUR': 6, 'GBP': 7}
    """
    found: dict[str, int] = {}
    for item in items:
        if item.minor is not None:
            found[item.currency] = found.get(item.currency, 0) + item.minor
    return found


def lighten(items: Sequence[Item], over_minor: int) -> tuple[str, ...]:
    """The fewest codes whose values make up `over_minor`; the last one the smallest that will do.

    () when nothing is over. Limits: of several answers with as few pieces it gives one, taking
    the dearest first; all of them together when even that is not enough.

    >>> lighten([Item("A", 9, "EUR"), Item("B", 4, "EUR"), Item("C", 2, "EUR")], 3)
    ('B',)
    """
    left = sorted((i for i in items if i.minor), key=lambda i: (-(i.minor or 0), i.code))
    taken: list[str] = []
    rest = over_minor
    while rest > 0 and left:
        enough = [item for item in left if (item.minor or 0) >= rest]
        one = enough[-1] if enough else left[0]
        left.remove(one)
        taken.append(one.code)
        rest -= one.minor or 0
    return tuple(taken)


def review_due(valued_on: date | None, today: date, years: int = REVIEW_YEARS) -> bool:
    """Whether a value is older than `years`; one without a day counts as old.

    >>> review_due(date(2023, 11, 24), date(2026, 11, 24)), review_due(
    ...     date(2023, 11, 23), date(2026, 11, 24))
    (False, True)
    """
    if valued_on is None:
        return True
    return (valued_on.year + years, valued_on.month, valued_on.day) < (
        today.year, today.month, today.day,
    )  # fmt: skip


@dataclass(frozen=True)
class Night:
    """An overnight stop against the terms: those broken, and those nobody wrote down."""

    broken: tuple[str, ...]
    unsaid: tuple[str, ...]

    @property
    def kept(self) -> bool:
        """Whether every term was kept, as far as it was written down."""
        return not self.broken and not self.unsaid


def night(terms: Iterable[str], said: Mapping[str, str]) -> Night:
    """`terms`: keys of TERMS that the policy asks; `said`: 'yes' or 'no' by key, else not known."""
    asked = [term for term in TERMS if term in set(terms)]
    return Night(
        tuple(term for term in asked if said.get(term) == "no"),
        tuple(term for term in asked if said.get(term) not in ("yes", "no")),
    )


def nights_unsaid(
    begins: date, until: date, stays: Iterable[tuple[date, date | None]]
) -> tuple[date, ...]:
    """Nights from `begins` to the one before `until` that no stay covers.

    `stays`: (first evening, morning it left); None: it is still there. A night is named by its
    evening; a stay that left on the evening it came covers no night.
    """
    spans = [(first, last or until) for first, last in stays]
    days = (begins + timedelta(days=n) for n in range(max(0, (until - begins).days)))
    return tuple(d for d in days if not any(first <= d < last for first, last in spans))


def outside(
    stops: Iterable[tuple[date, str]], *, territory: Iterable[str], begins: date, ends: date
) -> tuple[tuple[tuple[date, str], ...], tuple[tuple[date, str], ...]]:
    """Stops in a country the policy does not name, and stops on a day it does not cover.

    `stops`: (day, country code). An empty territory stands for the whole world; a stop without a
    country is outside of every territory that is named, since nobody can say that it is in.
    """
    named = set(territory)
    days = sorted(stops)
    abroad = tuple(stop for stop in days if named and stop[1] not in named)
    return abroad, tuple(stop for stop in days if not begins <= stop[0] <= ends)


def notice_until(known_at: datetime, hours: int) -> datetime:
    """The last moment to tell the insurer: hours of the clock after it was known.

    Reckoned in UTC, given back in the zone of `known_at`: a night with summer time is not longer.
    """
    return (utc(known_at) + timedelta(hours=hours)).astimezone(known_at.tzinfo)


def by_when(until: datetime, now: datetime) -> str:
    """'by 14:20 tomorrow', as somebody would say it now; both in one zone.

    >>> from datetime import UTC
    >>> by_when(datetime(2026, 11, 25, 14, 20, tzinfo=UTC), datetime(2026, 11, 24, 15, tzinfo=UTC))
    'by 14:20 tomorrow'
    """
    ahead = (until.date() - now.astimezone(until.tzinfo).date()).days
    said = {0: "today", 1: "tomorrow"}.get(ahead) or f"on {day(until.date(), today=now.date())}"
    late = " (past)" if utc(until) < utc(now) else ""
    return f"by {until:%H:%M} {said}{late}"

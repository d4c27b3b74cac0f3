"""What one change would gain: other pull hours, a rested unit, spares bought or lost.

Both forecasts use the same seed, so that use, the largest source of chance, is the same in
both and the difference is quieter than either figure.
"""

import math
from dataclasses import dataclass, replace
from enum import Enum
from typing import Final, Protocol

from collection.core.depletion_forecast import Depletion, deplete
from collection.core.lifetime import Life, LifeDraws
from collection.core.spares import DepletionError, Sockets, Stock, Usage

_HORIZONS = (30, 120)


class Keep(Enum):
    """Stands for 'as it is' where None already says 'run until it fails'."""

    KEEP = "keep"


KEEP: Final = Keep.KEEP


class Observed(Protocol):
    """Whatever knows the highest age in the log."""

    @property
    def longest_hours(self) -> float | None: ...


@dataclass(frozen=True)
class Change:
    """A change to a forecast; what is not named stays as it is.

    Args:
        units_added: spares bought (or, below zero, lost).
        pull_at_hours: another pull age for every position; None: run until it fails.
        rest: positions to rest, counted from 0 in the order of ``Sockets.hours_on``.
        shows_per_year: another number of shows a year.
    """

    units_added: int = 0
    pull_at_hours: float | tuple[float | None, ...] | Keep | None = KEEP
    rest: tuple[int, ...] = ()
    shows_per_year: float | None = None

    def stock(self, now: Stock) -> Stock:
        """The stock after the change."""
        if now.units + self.units_added < 0:
            raise DepletionError(
                f"{-self.units_added} units cannot be lost from a stock of {now.units}."
            )
        return replace(now, units=now.units + self.units_added)

    def sockets(self, now: Sockets) -> Sockets:
        """The positions after the change."""
        positions = range(len(now.hours_on))
        for place in self.rest:
            if place not in positions:
                raise DepletionError(f"There is no position {place} to rest.")
        shares = now.share_of_use or (1.0,) * len(positions)
        rested = tuple(0.0 if p in self.rest else shares[p] for p in positions)
        pull = now.pull_at_hours if isinstance(self.pull_at_hours, Keep) else self.pull_at_hours
        return Sockets(now.hours_on, pull, rested)

    def usage(self, now: Usage) -> Usage:
        """The use after the change."""
        if self.shows_per_year is None:
            return now
        return replace(now, shows_per_year=self.shows_per_year)


@dataclass(frozen=True)
class Gain:
    """What a change brings.

    Args:
        years: median with the change minus median without; 0 where both lie beyond reach.
        added_failures_per_show: failures on stage per show that it adds (below 0: saves).
        extrapolated: True when a new pull age lies beyond the longest age that was seen.
        before, after: the two medians in years, ``inf`` beyond 120 years.
    """

    years: float
    added_failures_per_show: float
    extrapolated: bool
    before: float
    after: float


def gain(
    stock: Stock,
    sockets: Sockets,
    life: Life | LifeDraws,
    usage: Usage,
    change: Change,
    *,
    seed: int,
    observed: Observed | None = None,
) -> Gain:
    """Compare a forecast with and without a change.

    Args:
        stock, sockets, life, usage: as things are; see ``deplete``.
        change: what would be done.
        seed: a number >= 0, used for both.
        observed: a fit or draws that know the longest age in the log; without it the longest
            age is that of what is fitted or has been pulled so far.

    Raises:
        DepletionError: the change cannot be made.
    """
    changed = change.stock(stock), change.sockets(sockets), life, change.usage(usage)
    for years in _HORIZONS:
        now = deplete(stock, sockets, life, usage, years=years, seed=seed)
        then = deplete(*changed, years=years, seed=seed)
        before, after = now.quantile(0.5), then.quantile(0.5)
        if math.isfinite(before) and math.isfinite(after):
            break
    return Gain(
        years=0.0 if before == after else after - before,
        added_failures_per_show=then.failures_per_show - now.failures_per_show,
        extrapolated=_extrapolated(now, then, observed),
        before=before,
        after=after,
    )


def _extrapolated(now: Depletion, then: Depletion, observed: Observed | None) -> bool:
    highest = max(socket.pull_at_hours for socket in then.asked.sockets.in_use())
    return highest > longest_age(now, observed)


def longest_age(depletion: Depletion, observed: Observed | None) -> float:
    """The longest age in hours that the log or, without one, the sockets bear out."""
    life = depletion.asked.life
    for source in (observed, life):
        known = getattr(source, "longest_hours", None)
        if known is not None:
            return float(known)
    sockets = depletion.asked.sockets.in_use()
    pulled = [s.pull_at_hours for s in sockets if math.isfinite(s.pull_at_hours)]
    return max([s.hours_on for s in sockets] + pulled)

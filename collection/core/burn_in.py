"""Lives after a burn-in on the bench: early deaths happen there and not on stage.

Model: a unit runs `burned_hours` on the bench before it is fitted. What dies there is a rejected
unit; what survives goes on by the same law from that age, so with H the cumulative hazard
``H'(t) = H(t + h) - H(h)``. A pull age counted from new leaves ``T - h`` hours for the stage.
Assumptions: an hour on the bench ages a part like an hour on stage, and a death there costs a
spare but no show.
Limits: it helps where parts settle (early deaths, or a shape below 1); where they wear out it only
uses hours up, and the figures say so.
Source: the residual life of a renewal process, R. E. Barlow and F. Proschan, Mathematical Theory
of Reliability (1965), ch. 2 (from memory).
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from collection.core.lifetime import (
    Floats,
    Life,
    LifeDraws,
    checked_pull,
    weibull_mean_cycle,
)
from collection.core.spares import DepletionError, Sockets, Stock


@dataclass(frozen=True)
class BurnedIn(Life):
    """A law of life seen from the end of a burn-in, hours on after it."""

    burned_hours: float = 0.0

    @property
    def only_wears(self) -> bool:
        """A law cut off at its beginning is no plain Weibull law."""
        return False

    def cumulative_hazard(self, hours: ArrayLike) -> Floats:
        """-ln S at hours after the burn-in."""
        t = np.clip(np.asarray(hours, dtype=np.float64), 0.0, 1e300)
        start = super().cumulative_hazard(self.burned_hours)
        return np.asarray(super().cumulative_hazard(t + self.burned_hours) - start)


class BurnedInDraws(LifeDraws):
    """Drawn laws seen from the end of a burn-in."""

    def __init__(self, life: LifeDraws, burned_hours: float) -> None:
        super().__init__(
            life.shapes,
            life.scales,
            failures=life.failures,
            lives=life.lives,
            longest_hours=life.longest_hours,
        )
        self.burned_hours = burned_hours

    def cumulative_hazard(self, hours: float) -> Floats:
        """-ln S of every draw at hours after the burn-in."""
        whole = super().cumulative_hazard(hours + self.burned_hours)
        return np.asarray(whole - super().cumulative_hazard(self.burned_hours))

    def survival(self, hours: ArrayLike) -> Floats:
        """Chance to live longer than the hours given after the burn-in, averaged over draws."""
        at = np.asarray(hours, dtype=np.float64)
        alive = [np.exp(-self.cumulative_hazard(float(t))).mean() for t in at.ravel()]
        return np.asarray(alive, dtype=np.float64).reshape(at.shape)

    def mean_cycles(self, pull_at_hours: float | None, *, set_size: int = 1) -> Floats:
        """Mean hours on stage of every draw: what is left of its cycle, by those that survive."""
        h = self.burned_hours
        until = checked_pull(pull_at_hours) + h
        whole = weibull_mean_cycle(self.shapes, self.scales, until, set_size=set_size)
        bench = weibull_mean_cycle(self.shapes, self.scales, h, set_size=set_size)
        return np.asarray((whole - bench) * np.exp(set_size * LifeDraws.cumulative_hazard(self, h)))


def burned_in(life: Life | LifeDraws, hours: float) -> Life | LifeDraws:
    """The law after so many hours on the bench.

    Raises:
        DepletionError: the hours are not above zero, or it was burned in before.
    """
    if not hours > 0:
        raise DepletionError(f"A burn-in takes more than zero hours, not {hours}.")
    if isinstance(life, BurnedIn | BurnedInDraws):
        raise DepletionError("It has been burned in already.")
    if isinstance(life, LifeDraws):
        return BurnedInDraws(life, hours)
    return BurnedIn(
        life.shape,
        life.scale_hours,
        life.early_share,
        life.early_hours,
        life.random_per_hour,
        burned_hours=hours,
    )


def survives_bench(life: Life | LifeDraws, hours: float, *, set_size: int = 1) -> float:
    """Share of units, 0 to 1, that come through the burn-in; a set with all its parts."""
    hazards = np.atleast_1d(np.asarray(life.cumulative_hazard(hours)))
    return float(np.exp(-set_size * hazards).mean())


def after_burn_in(
    stock: Stock, sockets: Sockets, life: Life | LifeDraws, *, hours: float
) -> tuple[Stock, Sockets, Life | LifeDraws]:
    """A forecast's question in which every spare is burned in before it is fitted.

    Args:
        stock, sockets, life: as things are; pull ages count from new.
        hours: hours on the bench, below every pull age.

    Raises:
        DepletionError: a part would reach its pull age on the bench.
    """
    pulls = [s.pull_at_hours for s in sockets.in_use()]
    if min(pulls) <= hours:
        raise DepletionError(
            f"A burn-in of {hours:g} hours leaves nothing before the pull at {min(pulls):g}."
        )
    kept = survives_bench(life, hours, set_size=stock.set_size)
    pull = sockets.pull_at_hours
    if isinstance(pull, tuple):
        pull = tuple(None if one is None else one - hours for one in pull)
    elif pull is not None:
        pull = pull - hours
    on = tuple(max(0.0, age - hours) for age in sockets.hours_on)
    return (
        replace(stock, passes_test=stock.passes_test * kept),
        Sockets(on, pull, sockets.share_of_use),
        burned_in(life, hours),
    )

"""One question of how long a stock lasts, its figures, and what drives their spread.

The same question always has the same figures: its seed is made of what is asked.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from collection.core.depletion import (
    Change,
    Depletion,
    DepletionError,
    Gain,
    Sockets,
    Stock,
    Usage,
    deplete,
    hand_rule_years,
    seed_from,
)
from collection.core.depletion_gain import longest_age
from collection.core.depletion_rates import mean_cycles
from collection.core.life import Life, LifeDraws
from collection.stock.lives import Law

YEARS = 30
FAR = 120  # looked at where a median lies beyond the horizon, as the core's own gain does
FUTURES, FEWEST = 10_000, 400
MOST_DEMANDS = 20_000_000  # in all futures together: about three seconds
CHANCES = (0.1, 0.5, 0.9)
LASTS = Life(shape=1.0, scale_hours=float("inf"))


class Refused(ValueError):
    """A forecast that cannot be made, with every reason in plain words."""

    def __init__(self, reasons: tuple[str, ...]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons


@dataclass(frozen=True)
class Asked:
    """One question: spares, sockets, life and use; the same question has the same answer."""

    stock: Stock
    sockets: Sockets
    law: Law
    usage: Usage
    drawn_as: int | None = None  # seed of the question it is compared with

    @cached_property
    def key(self) -> int:
        """A number of what is asked: the same question has the same."""
        said = (self.stock, self.sockets, self.law.life, self.usage)
        return seed_from(*said) if self.drawn_as is None else seed_from(*said, self.drawn_as)

    @property
    def seed(self) -> int:
        """A seed of what is asked, so that a reload shows the same figures."""
        return self.key if self.drawn_as is None else self.drawn_as

    def __hash__(self) -> int:
        return self.key

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Asked) and self.key == other.key

    @property
    def figures(self) -> Depletion:
        """The forecast."""
        return _figures(self)

    @property
    def by_year(self) -> np.ndarray:
        """Usable units left after 0, 1, … years: (years + 1, 3) at 10, 50 and 90 %."""
        return _by_year(self)

    @property
    def hand_rule_years(self) -> float | None:
        """Spares × hours to the pull ÷ (positions × hours a year), as done on paper.

        Where nothing is pulled, the mean life stands for the hours to the pull. None where
        only booked months are known.
        """
        if not self.usage.hours_per_year:
            return None
        runs = any(socket.pull_at_hours == float("inf") for socket in self.sockets.in_use())
        return hand_rule_years(
            self.stock, self.sockets, self.law.life if runs else LASTS, self.usage
        )


@lru_cache(maxsize=256)
def _figures(asked: Asked, years: int = YEARS) -> Depletion:
    return deplete(
        asked.stock,
        asked.sockets,
        asked.law.life,
        asked.usage,
        futures=_futures(asked, years),
        years=years,
        seed=asked.seed,
    )


def _futures(asked: Asked, years: int) -> int:
    """How many futures are drawn: fewer where each is thousands of tubes long.

    Luck evens out in long ones, and a question typed by mistake shall not hold up the site.
    """
    if asked.stock.units < MOST_DEMANDS / FUTURES:
        return FUTURES
    cycles = mean_cycles(asked.stock, asked.sockets, asked.law.life)
    sockets = asked.sockets.in_use()
    an_hour = sum(one.share / cycle for one, cycle in zip(sockets, cycles, strict=True))
    hours = asked.usage.hours_per_year * years + sum(asked.usage.booked_hours)
    demands = min(asked.stock.units, hours * an_hour)
    return FUTURES if demands < 1 else int(np.clip(MOST_DEMANDS / demands, FEWEST, FUTURES))


@lru_cache(maxsize=64)
def _by_year(asked: Asked) -> np.ndarray:
    return asked.figures.by_year()


@dataclass(frozen=True)
class Outcome:
    """When a position can no longer be fed, in years from now; None: beyond the horizon."""

    quantiles: Mapping[float, float | None]
    failures_per_show: float
    units: int

    @property
    def median(self) -> float | None:
        """Even chance."""
        return self.quantiles[0.5]

    @property
    def beyond(self) -> bool:
        """Whether any of the three lies beyond the horizon."""
        return None in self.quantiles.values()


def outcome(asked: Asked) -> Outcome:
    """The figures of a question."""
    found = {p: asked.figures.quantile(p) for p in CHANCES}
    known = {p: None if years == float("inf") else years for p, years in found.items()}
    return Outcome(known, asked.figures.failures_per_show, asked.stock.units)


def change(asked: Asked, what: Change, *, stock: Stock | None = None) -> tuple[Asked, Gain]:
    """The question after a change, with other spares where given, and what it gains."""
    try:
        then = replace(
            asked,
            stock=what.stock(stock or asked.stock),
            sockets=what.sockets(asked.sockets),
            usage=what.usage(asked.usage),
            drawn_as=asked.seed,
        )
        return then, gained(asked, then)
    except DepletionError as error:
        raise Refused((str(error),)) from error


def gained(asked: Asked, then: Asked) -> Gain:
    """What the second question has over the first; figures that are known are not drawn again.

    Both are drawn with one seed, so that chance hardly hides the difference; `core.depletion.gain`
    does the same from scratch.
    """
    before, after = (one.figures.quantile(0.5) for one in (asked, then))
    if float("inf") in (before, after):
        before, after = (_figures(one, FAR).quantile(0.5) for one in (asked, then))
    highest = max(socket.pull_at_hours for socket in then.sockets.in_use())
    return Gain(
        years=0.0 if before == after else after - before,
        added_failures_per_show=then.figures.failures_per_show - asked.figures.failures_per_show,
        extrapolated=highest > longest_age(asked.figures, asked.law),
        before=before,
        after=after,
    )


# -- what drives the spread ------------------------------------------------------------------
@dataclass(frozen=True)
class Driver:
    """One thing nobody knows exactly, and how many years of spread go with it."""

    words: str
    width_years: float
    without_years: float

    @property
    def matters(self) -> bool:
        """Whether knowing it would narrow the spread by a tenth at least."""
        return self.without_years < 0.9 * self.width_years


def drivers(asked: Asked) -> list[Driver]:
    """Each uncertain thing held at its middle in turn, the one that narrows most first.

    Widths are those of eight chances in ten, the horizon standing for what lies beyond it.
    """
    whole = _width(asked)
    held = [(words, _width(one)) for words, one in _held(asked)]
    found = [Driver(words, whole, width) for words, width in held]
    return sorted(found, key=lambda driver: driver.without_years)


def _held(asked: Asked) -> list[tuple[str, Asked]]:
    found = []
    known = replace(asked.usage, yearly_size=None, level_shape=None)
    if not asked.usage.is_fixed:
        level = asked.usage.level_shape is not None
        words = "the level of touring" if level else "how much years differ"
        found.append((f"how much will be played: {words}", replace(asked, usage=known)))
    if isinstance(asked.law.life, LifeDraws):
        middle = Life(
            shape=float(np.median(asked.law.life.shapes)),
            scale_hours=float(np.median(asked.law.life.scales)),
        )
        found.append(("how long they live", replace(asked, law=replace(asked.law, life=middle))))
    if asked.stock.passes_test < 1:
        certain = round(asked.stock.units * asked.stock.passes_test)
        sure = replace(asked.stock, units=certain, passes_test=1.0)
        found.append(("how many pass their test", replace(asked, stock=sure)))
    if asked.stock.loses:
        none = replace(
            asked.stock, shelf_loss_per_year=0.0, bulk_losses_per_year=0.0, bulk_loss_share=0.0
        )
        found.append(("what is lost on the shelf", replace(asked, stock=none)))
    return found


def chance_alone(asked: Asked) -> float:
    """Years of spread that are left when all of that is known: which tube dies when."""
    for _ in range(len(_held(asked))):
        still = _held(asked)
        if not still:
            break
        asked = still[0][1]
    return _width(asked)


def _width(asked: Asked) -> float:
    low, high = (min(asked.figures.quantile(p), YEARS) for p in (0.1, 0.9))
    return high - low

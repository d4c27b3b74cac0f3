"""The forecast itself: what the futures say together. See ``depletion`` for the model."""

import math
from dataclasses import dataclass, field

import numpy as np

from collection.core.depletion_rates import failures_per_show
from collection.core.depletion_scene import Question, Scene
from collection.core.lifetime import Floats, Life, LifeDraws
from collection.core.spares import DepletionError, Sockets, Stock, Usage
from collection.core.touring import ROUNDING

_DECILES = (0.1, 0.5, 0.9)


@dataclass(frozen=True, eq=False)
class Depletion:
    """When the first demand cannot be met.

    Args:
        years: (futures,) years from now, ``inf`` beyond the horizon.
        failures_per_show: failures on stage per show in the long run, all positions.
        asked: the question that this answers.
    """

    years: Floats
    failures_per_show: float
    asked: Question
    _in_order: Floats = field(init=False, repr=False)

    def __post_init__(self) -> None:
        self.years.setflags(write=False)
        object.__setattr__(self, "_in_order", np.sort(self.years))

    def quantile(self, p: float) -> float:
        """Smallest number of years by which the chance of depletion reaches p.

        Raises:
            DepletionError: p is not above 0 and at most 1.
        """
        if not 0 < p <= 1:
            raise DepletionError(f"A quantile is asked for a chance above 0 and up to 1, not {p}.")
        rank = math.ceil(p * self._in_order.size - 1e-9)
        return float(self._in_order[rank - 1])

    def chance_by(self, years: float) -> float:
        """Chance, 0 to 1, that the first unmet demand comes within so many years.

        Raises:
            DepletionError: the question lies beyond the horizon.
        """
        if not years <= self.asked.years * (1 + ROUNDING):
            raise DepletionError(
                f"The forecast looks {self.asked.years} years ahead; {years:g} years lie beyond."
            )
        within = np.searchsorted(self._in_order, years * (1 + ROUNDING), side="right")
        return float(within) / self._in_order.size

    def beyond(self) -> float:
        """Share of futures, 0 to 1, that are not depleted within the horizon."""
        return float(np.isinf(self.years).mean())

    def by_year(self) -> Floats:
        """Usable units left after 0, 1, ... years: (horizon + 1, 3) at 10, 50 and 90 %.

        Never below 0. Drawn again on demand, with the same futures as ``years``.
        """
        scene = Scene(self.asked)
        left = np.concatenate([scene.left(block) for block in scene.blocks()])
        deciles = np.quantile(left, _DECILES, axis=0, method="inverted_cdf")
        return np.asarray(deciles.T, dtype=np.float64)


def deplete(
    stock: Stock,
    sockets: Sockets,
    life: Life | LifeDraws,
    usage: Usage,
    *,
    futures: int = 10_000,
    years: int = 30,
    seed: int,
) -> Depletion:
    """Draw futures until the first demand that stock cannot meet.

    Args:
        stock, sockets, life, usage: see ``spares`` and ``lifetime``.
        futures: how many, at least 1; 10,000 leave an error of 0.005 in a chance.
        years: horizon in years, 1 to 200.
        seed: a number >= 0, best ``seed_from`` the inputs.

    Raises:
        DepletionError: a horizon, a number of futures or a seed out of range.
    """
    asked = Question(stock, sockets, life, usage, futures, years, seed)
    scene = Scene(asked)
    drawn = np.concatenate([scene.depleted(block) for block in scene.blocks()])
    drawn[drawn > years * (1 + ROUNDING)] = np.inf
    return Depletion(drawn, failures_per_show(stock, sockets, life, usage), asked)

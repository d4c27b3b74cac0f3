"""The futures behind a forecast: drawn in blocks, again and again the same.

Futures are worked through in blocks that fit the processor's cache; every block has its own
streams of random numbers, so the figures depend on the question and on nothing else. Where a
block does not reach its last demand, all its futures are continued: continuing is free of
bias, while drawing only those anew that came out short would not be.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from collection.core.demand import Positions, Singles, first_guess, set_law
from collection.core.depletion_rates import mean_cycles
from collection.core.lifetime import Floats, Life, LifeDraws
from collection.core.shelf import Counts, Shelf
from collection.core.spares import DepletionError, Sockets, Stock, Usage
from collection.core.touring import ROUNDING, touring

Number = TypeVar("Number", np.float32, np.float64)

_CELLS = 180_000  # float32 cells in a block: 0.7 MB, within a second-level cache
_USE, _TESTS, _CYCLES, _LOSSES, _LEFT = range(5)


@dataclass(frozen=True)
class Question:
    """What a forecast was asked.

    Args:
        stock, sockets, life, usage: see ``spares`` and ``lifetime``.
        futures: how many futures, at least 1.
        years: horizon in years, 1 to 200.
        seed: a number >= 0.

    Raises:
        DepletionError: a value is outside its range.
    """

    stock: Stock
    sockets: Sockets
    life: Life | LifeDraws
    usage: Usage
    futures: int
    years: int
    seed: int

    def __post_init__(self) -> None:
        if self.futures < 1:
            raise DepletionError(f"A forecast needs at least one future, not {self.futures}.")
        if not (1 <= self.years <= 200 and self.years == int(self.years)):
            raise DepletionError(f"A forecast looks 1 to 200 years ahead, not {self.years}.")
        if self.seed < 0:
            raise DepletionError(f"A seed is a number from 0 up, not {self.seed}.")


@dataclass(frozen=True)
class Block:
    """Futures ``first`` to ``last`` (not included), the ``number``-th block."""

    number: int
    first: int
    last: int

    @property
    def size(self) -> int:
        """How many futures."""
        return self.last - self.first


class Scene:
    """All futures of one question."""

    def __init__(self, asked: Question) -> None:
        self._asked = asked
        self._sockets = asked.sockets.in_use()
        self._touring = touring(
            asked.usage, futures=asked.futures, years=asked.years, rng=self._stream(_USE)
        )
        self._most_hours = self._touring.at(asked.years) * (1 + ROUNDING)
        units = asked.stock.units
        if asked.stock.loses:
            self._spares = np.full(asked.futures, units)
        else:
            passes = asked.stock.passes_test
            self._spares = self._stream(_TESTS).binomial(units, passes, size=asked.futures)
        self._cycles = first_guess(
            self._sockets,
            mean_cycles(asked.stock, asked.sockets, asked.life),
            demands=int(self._spares.max()) + 1,
            most_hours=float(self._most_hours.max()),
        )

    def _stream(self, *key: int) -> np.random.Generator:
        sequence = np.random.SeedSequence(self._asked.seed, spawn_key=key)
        return np.random.Generator(np.random.SFC64(sequence))

    def blocks(self) -> Iterator[Block]:
        """The futures, block by block."""
        size = max(1, _CELLS // (len(self._sockets) * self._cycles))
        for number, first in enumerate(range(0, self._asked.futures, size)):
            yield Block(number, first, min(first + size, self._asked.futures))

    def depleted(self, block: Block) -> Floats:
        """Years to the first demand that cannot be met: (futures in the block,)."""
        demands = self._demands(block)
        calendar = self._touring.rows(block.first, block.last)
        if self._asked.stock.loses:
            years = calendar.years(demands)
            drawn = self._shelf(block).drawn(years)
            unmet = (drawn <= self._asked.stock.units).sum(axis=1)
            return _taken(years, unmet)[:, 0]
        return calendar.years(_taken(demands, self._spares[block.first : block.last]))[:, 0]

    def left(self, block: Block) -> NDArray[np.int64]:
        """Usable units left after 0, 1, ... years: (futures in the block, years + 1)."""
        demands = self._demands(block)
        calendar = self._touring.rows(block.first, block.last)
        hours = [calendar.at(year) * (1 + ROUNDING) for year in range(self._asked.years + 1)]
        met = np.stack([(demands <= h[:, None]).sum(axis=1) for h in hours], axis=1)
        if self._asked.stock.loses:
            return self._left_after_losses(block, met, calendar.years(demands))
        spares = self._spares[block.first : block.last, None]
        return np.asarray(np.maximum(spares - met, 0))

    def _left_after_losses(
        self, block: Block, met: Counts, years: NDArray[np.floating]
    ) -> NDArray[np.int64]:
        shelf = self._shelf(block)
        drawn = np.hstack((np.zeros((block.size, 1), dtype=np.int64), shelf.drawn(years)))
        used = np.take_along_axis(drawn, np.minimum(met, drawn.shape[1] - 1), axis=1)
        rng = self._stream(_LEFT, block.number)
        return np.stack(
            [shelf.left(used[:, year], year, rng) for year in range(used.shape[1])], axis=1
        )

    def _shelf(self, block: Block) -> Shelf:
        return Shelf(
            self._asked.stock,
            futures=block.size,
            years=self._asked.years,
            rng=self._stream(_LOSSES, block.number),
        )

    def _demands(self, block: Block) -> Singles:
        """Sorted hours of all demands until the last that matters: (futures, demands).

        The last column is ``inf``: where it is the answer, the horizon came first.
        """
        futures = np.arange(block.first, block.last)
        law = set_law(self._asked.life, self._asked.stock.set_size, self._sockets, futures)
        positions = Positions(
            self._sockets,
            law,
            futures=block.size,
            rng=self._stream(_CYCLES, block.number),
        )
        spares = self._spares[block.first : block.last]
        wanted = int(spares.max()) + 1
        most = np.broadcast_to(self._most_hours, (self._asked.futures,))
        cycles, ends = self._cycles, np.empty((block.size, len(self._sockets), 0), np.float32)
        while True:
            ends = np.concatenate((ends, positions.ends(cycles)), axis=2)
            rows = _sorted_rows(ends, wanted)
            target = _taken(rows, spares)[:, 0]
            reach = ends[:, :, -1].min(axis=1)
            if np.all(reach >= np.minimum(target, most[block.first : block.last])):
                return rows
            cycles = cycles // 2 + 4


def _sorted_rows(ends: Singles, wanted: int) -> Singles:
    """The ends of all positions in one sorted row per future, then ``inf``.

    At most ``wanted`` + 1 long; shorter where the horizon leaves no time for so many.
    """
    count = ends.shape[1] * ends.shape[2]
    rows = np.full((len(ends), count + 1), np.inf, dtype=np.float32)
    rows[:, :count] = ends.reshape(len(ends), count)
    rows[:, :count].sort(axis=1)
    return rows[:, : wanted + 1]


def _taken(rows: NDArray[Number], index: NDArray[np.int64]) -> NDArray[Number]:
    """One entry per row, (rows, 1); the last where the index lies beyond it."""
    within = np.minimum(index, rows.shape[1] - 1)
    return np.asarray(np.take_along_axis(rows, within[:, None], axis=1))

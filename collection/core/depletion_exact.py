"""The exact chance of depletion, on a lattice: the yardstick for the drawn forecast.

For every position the law of its first, second, ... demand is a chain of convolutions
(``renewal``); the demands by a given hour of all positions together are another convolution,
and test rejects mix over the number of good units. Use that varies is averaged over exactly.
Calendar losses, shares of use and booked hours are refused: for them there is the event
program in the tests.
Limits: good for stocks up to a few hundred units; error of the lattice as in ``renewal``.
"""

import math
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

import numpy as np
from scipy import fft, special

from collection.core.lifetime import Floats, Life, LifeDraws
from collection.core.renewal import Gap, convolved, gap
from collection.core.spares import DepletionError, Socket, Sockets, Stock, Usage
from collection.core.touring_law import hours_by

_MOST_CELLS = 120_000
_MOST_DRAWS = 200
_LEAST_CHANCE = 1e-13


@dataclass(frozen=True, eq=False)
class ExactDepletion:
    """The law of the first demand that stock cannot meet, made by ``exact``."""

    stock: Stock
    sockets: tuple[Socket, ...]
    lives: tuple[Life, ...]
    usage: Usage
    step_hours: float
    _known: dict[int, tuple[Floats, Floats]] = field(default_factory=dict, repr=False)

    def chance_by(self, years: float) -> float:
        """Chance, 0 to 1, that the first unmet demand comes within so many years.

        Raises:
            DepletionError: the question needs a lattice of more than 120,000 steps.
        """
        if years < 0:
            return 0.0
        hours, weights = hours_by(self.usage, years, below=self._sure_by())
        if not hours.size:
            return 1.0
        unharmed = (1.0 - self.chance_by_hours(hours)) @ weights
        return float(np.clip(1.0 - unharmed, 0.0, 1.0))

    def chance_by_hours(self, hours: Floats) -> Floats:
        """The same by cumulative hours on: (n,) chances for (n,) hours."""
        sure = self._sure_by()
        asked = np.minimum(hours, sure)
        below, at = self._table(float(asked.max()))
        cell = np.floor(asked / self.step_hours + 1e-9).astype(np.intp)
        share = np.clip(asked / self.step_hours - cell, 0.0, 1.0)
        between = at[cell] + share * (below[cell + 1] - at[cell])
        return np.where(hours >= sure, 1.0, between)

    def quantile(self, p: float) -> float:
        """Smallest number of years by which the chance reaches p; ``inf`` if it never does.

        To a ten-millionth of itself; looked for up to 4,096 years.

        Raises:
            DepletionError: p is not above 0 and below 1, or the lattice would be too long.
        """
        if not 0 < p < 1:
            raise DepletionError(f"A quantile is asked for a chance between 0 and 1, not {p}.")
        high = 1.0
        while self.chance_by(high) < p:
            high *= 2
            if high > 4096:
                return math.inf
        low = high / 2 if high > 1 else 0.0
        while high - low > (1e-12 if self.usage.is_fixed else 1e-7) * high:
            middle = (low + high) / 2
            low, high = (low, middle) if self.chance_by(middle) >= p else (middle, high)
        return high

    def _sure_by(self) -> float:
        """Hours by which the pulls alone have asked for more than there is."""
        pulls = [s.pull_at_hours for s in self.sockets if math.isfinite(s.pull_at_hours)]
        if not pulls:
            return math.inf
        return math.ceil((self.stock.units + 1) / len(pulls)) * max(pulls)

    def _table(self, hours: float) -> tuple[Floats, Floats]:
        """Chance just before and at every step, at least two steps beyond ``hours``."""
        cells = 64
        while cells * self.step_hours < hours + 2 * self.step_hours:
            cells *= 2
        if cells > 2 * _MOST_CELLS:
            raise DepletionError(
                f"{hours:.0f} hours in steps of {self.step_hours:g} are too many; take a larger "
                "step or ask for fewer years."
            )
        if cells not in self._known:
            tables = [self._tables(life, cells) for life in self.lives]
            self._known[cells] = (
                np.mean([below for below, _ in tables], axis=0),
                np.mean([at for _, at in tables], axis=0),
            )
        return self._known[cells]

    def _tables(self, life: Life, cells: int) -> tuple[Floats, Floats]:
        counts = [
            (times, _demands(self._gaps(socket, life, cells), self.stock.units + 1))
            for socket, times in Counter(self.sockets).items()
        ]
        most = sum(times * (at.shape[0] - 1) for times, (_, at) in counts)
        met = _met_chances(self.stock, most)
        below = _unmet([(times, pair[0]) for times, pair in counts], met)
        return below, _unmet([(times, pair[1]) for times, pair in counts], met)

    def _gaps(self, socket: Socket, life: Life, cells: int) -> tuple[Gap, Gap]:
        """The first and every later gap of one position."""
        pull = None
        if math.isfinite(socket.pull_at_hours):
            pull = round(socket.pull_at_hours / self.step_hours)
        size, age = self.stock.set_size, round(socket.hours_on / self.step_hours)
        put = partial(gap, step=self.step_hours, cells=cells, pull=pull)
        later = put(_survival(life, size))
        return (put(_survival(life, size), age=age) if age else later), later


def exact(
    stock: Stock, sockets: Sockets, life: Life | LifeDraws, usage: Usage, *, step_hours: float
) -> ExactDepletion:
    """Set up the exact law of the first demand that stock cannot meet.

    Args:
        stock, sockets, life, usage: as for ``deplete``; at most 200 draws of a life, which
            are averaged over.
        step_hours: width of the lattice; divides every pull age and every age.

    Raises:
        DepletionError: calendar losses, shares of use or booked hours were given, the step
            does not divide the ages, or there are too many draws.
    """
    if stock.loses:
        raise DepletionError("The exact answer knows no calendar losses; draw futures instead.")
    if usage.booked_hours:
        raise DepletionError("The exact answer knows no booked hours; draw futures instead.")
    if any(share != 1 for share in sockets.share_of_use):
        raise DepletionError("The exact answer knows no shares of use; draw futures instead.")
    if not 0 < step_hours < math.inf:
        raise DepletionError(f"A step is above zero hours, not {step_hours}.")
    positions = sockets.in_use()
    for socket in positions:
        for age in (socket.pull_at_hours, socket.hours_on):
            _refuse_remainder(age, step_hours)
    return ExactDepletion(stock, positions, _lives(life), usage, step_hours)


def _refuse_remainder(age: float, step_hours: float) -> None:
    if math.isfinite(age) and abs(age / step_hours - round(age / step_hours)) > 1e-6:
        raise DepletionError(f"Steps of {step_hours:g} hours do not add up to {age:g} hours.")


def _lives(life: Life | LifeDraws) -> tuple[Life, ...]:
    if isinstance(life, Life):
        return (life,)
    if len(life) > _MOST_DRAWS:
        raise DepletionError(f"At most {_MOST_DRAWS} draws can be averaged, not {len(life)}.")
    pairs = zip(life.shapes, life.scales, strict=True)
    return tuple(Life(shape=float(shape), scale_hours=float(scale)) for shape, scale in pairs)


def _survival(life: Life, set_size: int) -> Callable[[Floats], Floats]:
    return lambda hours: np.asarray(np.exp(-set_size * life.cumulative_hazard(hours)))


def _demands(gaps: tuple[Gap, Gap], most: int) -> tuple[Floats, Floats]:
    """Chance of 0, 1, ... demands of one position, just before and at every step.

    Two arrays (demands + 1, cells + 1); the last row is 'so many or more'.
    """
    first, later = gaps
    masses, atom, atom_at = first.masses, first.atom, first.atom_at
    below, at = [np.ones_like(masses)], [np.ones_like(masses)]
    while len(at) <= most:
        chances = _reached(masses, atom, atom_at)
        below.append(chances[0])
        at.append(chances[1])
        if chances[1][-1] < _LEAST_CHANCE:
            break
        masses = convolved(masses, later.masses)
        atom, atom_at = atom * later.atom, atom_at + later.atom_at
    return _differences(np.array(below)), _differences(np.array(at))


def _reached(masses: Floats, atom: float, atom_at: int) -> tuple[Floats, Floats]:
    """Chance that a demand has come, just before and at every step."""
    here = np.zeros_like(masses)
    if atom_at < here.size:
        here[atom_at] = atom
    spread = np.maximum(masses - here, 0.0)
    halves = np.cumsum(spread) - spread / 2
    halves[0] = 0.0  # what is spread around 0 lies after it,
    halves[atom_at:] = spread.sum()  # and nothing lies beyond the last pull
    atoms = np.cumsum(here)
    return halves + atoms - here, halves + atoms


def _differences(reached: Floats) -> Floats:
    counts = reached.copy()
    counts[:-1] -= reached[1:]
    return np.maximum(counts, 0.0)


def _met_chances(stock: Stock, most: int) -> Floats:
    """Chance that 0, 1, ... ``most`` demands can all be met: good units are Binomial."""
    demands = np.arange(most + 1)
    good = np.zeros(most + 1)
    enough = demands <= stock.units
    if stock.passes_test == 1:
        good[enough] = 1.0
        return good
    # P(K >= d), K ~ Binomial(units, passes_test)
    good[enough] = special.bdtrc(demands[enough] - 1.0, stock.units, stock.passes_test)
    good[0] = 1.0
    return good


def _unmet(counts: list[tuple[int, Floats]], met: Floats) -> Floats:
    """Chance that the demands of all positions together cannot be met, at every step."""
    length = fft.next_fast_len(met.size, real=True)
    cells = counts[0][1].shape[1]
    unmet = np.empty(cells)
    for start in range(0, cells, 1024):
        part = slice(start, start + 1024)
        spectrum = np.ones((length // 2 + 1, 1), dtype=np.complex128)
        for times, chances in counts:
            spectrum = spectrum * fft.rfft(chances[:, part], length, axis=0) ** times
        together = fft.irfft(spectrum, length, axis=0)[: met.size]
        unmet[part] = 1.0 - met @ together
    return np.clip(unmet, 0.0, 1.0)

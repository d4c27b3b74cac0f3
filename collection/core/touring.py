"""How the hours on add up over the coming years.

The clock runs evenly within a booked month and within a year. A year of the law begins where
the booked months end. Yearly numbers of shows come from a quantile table of 65,536 steps, so
years rarer than one in 131,000 are not drawn.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from collection.core.lifetime import Floats
from collection.core.spares import Usage

_TABLE = 65_536
# float32 epochs: an hour that falls exactly on the end of a year counts as within it.
ROUNDING = 1e-6


@dataclass(frozen=True, eq=False)
class Touring:
    """Cumulative hours on at moments in time.

    Args:
        times: (moments,) years from now, from 0 to at least the horizon.
        hours: (futures or 1, moments) cumulative hours on; one row where use is certain.
    """

    times: Floats
    hours: Floats

    def rows(self, lowest: int, highest: int) -> "Touring":
        """The same for some of the futures."""
        if len(self.hours) == 1:
            return self
        return Touring(self.times, self.hours[lowest:highest])

    def at(self, years: float) -> Floats:
        """Cumulative hours on after so many years: (futures or 1,)."""
        after = int(np.clip(np.searchsorted(self.times, years), 1, self.times.size - 1))
        low, high = self.times[after - 1], self.times[after]
        share = (years - low) / (high - low)
        return np.asarray(self.hours[:, after - 1] * (1 - share) + self.hours[:, after] * share)

    def years(self, hours_on: NDArray[np.floating]) -> Floats:
        """First moment by which so many hours were on; ``inf`` after the last.

        Args:
            hours_on: (futures, n) hours.

        Returns:
            (futures, n) years.
        """
        passed = np.zeros(hours_on.shape, dtype=np.uint8 if self.times.size < 256 else np.uint16)
        for moment in range(1, self.times.size):
            passed += hours_on > self.hours[:, moment, None] * (1 + ROUNDING)
        beyond = passed == self.times.size - 1
        before = np.where(beyond, 0, passed).astype(np.intp)
        years = self._between(hours_on, before)
        years[beyond] = np.inf
        return years

    def _between(self, hours_on: NDArray[np.floating], before: NDArray[np.intp]) -> Floats:
        if self.times.size == 2:
            total = self.hours[:, 1, None]
            pace = np.divide(self.times[1], total, out=np.zeros_like(total), where=total > 0)
            return np.asarray(np.where(np.isfinite(hours_on), hours_on, 0.0) * pace)
        table = np.broadcast_to(self.hours, (len(hours_on), self.times.size))
        low = np.take_along_axis(table, before, axis=1)
        high = np.take_along_axis(table, before + 1, axis=1)
        start = self.times[before]
        length = self.times[before + 1] - start
        # A month without a show has no width in hours; whoever waits in it has not moved on.
        width = np.where(high > low, high - low, 1.0)
        share = np.where(np.isfinite(hours_on), hours_on - low, 0.0) / width
        return np.asarray(start + np.clip(share, 0.0, 1.0) * length)


def touring(usage: Usage, *, futures: int, years: float, rng: np.random.Generator) -> Touring:
    """Draw how much is played in every future, from now to the horizon in years."""
    times, booked = _booked(usage, years)
    left = years - times[-1]
    if left <= 0:
        return Touring(times, booked)
    if usage.is_fixed:
        hours = booked[:, -1:] + usage.hours_per_year * left
        return Touring(np.append(times, years), np.hstack((booked, hours)))
    blocks = int(np.ceil(left - 1e-9))
    shows = _shows(usage, (futures, blocks), rng)
    hours = booked[:, -1:] + usage.hours_per_show * np.cumsum(shows, axis=1, dtype=np.float64)
    early = np.broadcast_to(booked, (futures, times.size))
    return Touring(np.append(times, times[-1] + 1.0 + np.arange(blocks)), np.hstack((early, hours)))


def _booked(usage: Usage, years: float) -> tuple[Floats, Floats]:
    """Ends of the booked months within the horizon, and the hours on by then (one row)."""
    months = min(len(usage.booked_hours), int(np.floor(years * 12 + 1e-9)))
    times = np.arange(months + 1) / 12.0
    hours = np.concatenate(([0.0], np.cumsum(usage.booked_hours[:months], dtype=np.float64)))
    return times, hours[None, :]


def _shows(usage: Usage, shape: tuple[int, int], rng: np.random.Generator) -> NDArray[np.integer]:
    mean = usage.shows_per_year
    if mean == 0:
        return np.zeros(shape, dtype=np.int64)
    if usage.level_shape is not None:
        levels = rng.gamma(usage.level_shape, mean / usage.level_shape, size=(shape[0], 1))
        return np.asarray(rng.poisson(levels, size=shape))
    assert usage.yearly_size is not None
    table = _quantiles(mean, usage.yearly_size)
    return table[rng.integers(0, _TABLE, size=shape, dtype=np.uint16)]


def _quantiles(mean: float, size: float) -> NDArray[np.integer]:
    """Number of shows at evenly spread chances, of a negative binomial law."""
    spread = (mean + mean * mean / size) ** 0.5
    top = int(mean + 40 * spread * max(1.0, size**-0.5)) + 40
    below = special.betainc(size, np.arange(top + 1) + 1.0, size / (size + mean))
    chances = (np.arange(_TABLE) + 0.5) / _TABLE
    return np.searchsorted(below, chances).astype(np.int32)

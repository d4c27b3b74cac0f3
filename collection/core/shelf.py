"""What happens to spares before a socket asks for them: failed tests and losses.

Model: a unit drawn t years from now is usable with the chance
``passes_test exp(-shelf_loss_per_year t) (1 - bulk_loss_share) ** shocks``, independently of
every other unit given the bulk losses, which come as a Poisson process. A demand draws units
until one is usable, so it uses up a Geometric number of them.
Limits: a bulk loss takes each unit with the same chance; whether a flood takes a whole crate
or half of each is not told apart.
"""

import numpy as np
from numpy.typing import NDArray

from collection.core.lifetime import Floats
from collection.core.spares import Stock

Counts = NDArray[np.int64]


class Shelf:
    """The shelf of some futures.

    Args:
        stock: what lies on it now.
        futures: how many futures.
        years: horizon in years.
        rng: source of bulk losses, then of draws.
    """

    def __init__(
        self, stock: Stock, *, futures: int, years: float, rng: np.random.Generator
    ) -> None:
        self._stock, self._rng = stock, rng
        self._shocks = _shocks(stock, (futures, years), rng)
        # The chance to survive a total loss is zero; its logarithm is made finite.
        self._log_kept = np.float32(np.log(max(1.0 - stock.bulk_loss_share, 1e-300)))

    def usable(self, years: NDArray[np.floating]) -> NDArray[np.floating]:
        """Chance that a unit not yet drawn is usable at (futures, n) years from now."""
        stock = self._stock
        with np.errstate(invalid="ignore"):  # 0 x inf years where nothing decays
            decay = -stock.shelf_loss_per_year * years
        decay = np.nan_to_num(decay, copy=False, nan=0.0, neginf=-1e30)
        if self._shocks.shape[1]:
            passed = np.zeros(years.shape, dtype=np.uint16)
            for shock in self._shocks.T:
                passed += years >= shock[:, None]
            decay += self._log_kept * passed
        return np.asarray(stock.passes_test * np.exp(decay))

    def drawn(self, years: NDArray[np.floating]) -> Counts:
        """Units used up by each demand and those before it, at (futures, n) rising years."""
        draws = self._rng.standard_exponential(years.shape, dtype=np.float32)
        with np.errstate(divide="ignore"):  # a unit sure to be usable
            rate = -np.log1p(-self.usable(years))
        draws /= np.maximum(rate, 1e-30)  # and one sure to be lost
        units = self._stock.units
        # More than all is all; a unit is drawn even where the first is sure to be usable.
        np.minimum(draws, units, out=draws)
        return np.cumsum(draws.astype(np.int64) + 1, axis=1)

    def left(self, drawn: Counts, years: float, rng: np.random.Generator) -> Counts:
        """Usable units among those not drawn: (futures,), drawn at random."""
        undrawn = np.maximum(self._stock.units - drawn, 0)
        when = np.full((drawn.size, 1), years)
        return rng.binomial(undrawn, self.usable(when)[:, 0])


def _shocks(stock: Stock, shape: tuple[int, float], rng: np.random.Generator) -> Floats:
    """Years of the bulk losses, (futures, most in one future), ``inf`` where there are fewer."""
    futures, years = shape
    if not (stock.bulk_losses_per_year and stock.bulk_loss_share):
        return np.empty((futures, 0))
    counts = rng.poisson(stock.bulk_losses_per_year * years, size=futures)
    at = rng.uniform(0.0, years, size=(futures, int(counts.max(initial=0))))
    at[np.arange(at.shape[1]) >= counts[:, None]] = np.inf
    return at

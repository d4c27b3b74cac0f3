"""The exact law of the hours on by a moment, for use that varies.

A negative binomial number of shows is a Poisson number whose mean is a Gamma variable: a new
one every year, or one for all years where the level itself is unknown.
Source: M. Greenwood and G. U. Yule (1920), the Gamma mixture of Poisson laws (from memory).
"""

import math

import numpy as np
from scipy import special

from collection.core.lifetime import Floats
from collection.core.spares import Usage


def hours_by(usage: Usage, years: float) -> tuple[Floats, Floats]:
    """Possible cumulative hours by then and their chances."""
    if usage.is_fixed:
        return np.array([usage.hours_per_year * years]), np.array([1.0])
    whole = math.floor(years + 1e-12)
    rest = max(years - whole, 0.0)
    shows, chances = _whole_years(usage, whole)
    if rest < 1e-9:
        return usage.hours_per_show * shows, chances
    # The clock runs evenly through a year that has only begun.
    begun, given = _begun_year(usage, whole, shows)
    total = shows[:, None] + rest * begun[None, :]
    return usage.hours_per_show * total.ravel(), (chances[:, None] * given).ravel()


def _whole_years(usage: Usage, years: int) -> tuple[Floats, Floats]:
    mean = usage.shows_per_year
    if years == 0:
        return np.zeros(1), np.ones(1)
    if usage.yearly_size is not None:
        return _negative_binomial(usage.yearly_size * years, mean / usage.yearly_size)
    assert usage.level_shape is not None
    return _negative_binomial(usage.level_shape, years * mean / usage.level_shape)


def _begun_year(usage: Usage, whole: int, shows: Floats) -> tuple[Floats, Floats]:
    """Shows of one more year, and their chances given each number so far: (so far, more)."""
    mean = usage.shows_per_year
    if usage.yearly_size is not None:
        begun, chances = _negative_binomial(usage.yearly_size, mean / usage.yearly_size)
        return begun, np.broadcast_to(chances, (shows.size, begun.size))
    assert usage.level_shape is not None
    begun, _ = _negative_binomial(usage.level_shape, mean / usage.level_shape)
    # The level given what was played is again a Gamma law.
    shape, rate = usage.level_shape + shows[:, None], usage.level_shape / mean + whole
    return begun, _negative_binomial_mass(begun, shape, 1.0 / rate)


def _negative_binomial(shape: float, odds: float) -> tuple[Floats, Floats]:
    """Numbers that matter of a Poisson law whose mean is Gamma(shape, scale odds)."""
    mean, spread = shape * odds, math.sqrt(shape * odds * (1 + odds))
    reach = 12 * spread + 30 * (1 + odds)
    numbers = np.arange(max(0, math.floor(mean - reach)), math.ceil(mean + reach) + 1.0)
    chances = _negative_binomial_mass(numbers, shape, odds)
    kept = chances > 1e-15
    return numbers[kept], chances[kept]


def _negative_binomial_mass(numbers: Floats, shape: Floats | float, odds: float) -> Floats:
    ways = special.gammaln(numbers + shape) - special.gammaln(shape) - special.gammaln(numbers + 1)
    log_odds = numbers * math.log(odds / (1 + odds)) - shape * math.log1p(odds)
    return np.asarray(np.exp(ways + log_odds))

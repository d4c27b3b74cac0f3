"""The exact law of the hours on by a moment, for use that varies.

A negative binomial number of shows is a Poisson number whose mean is a Gamma variable: a new
one every year, or one for all years where the level itself is unknown.
Source: M. Greenwood and G. U. Yule (1920), the Gamma mixture of Poisson laws (from memory).
"""

import math

import numpy as np
from scipy import special

from collection.core.lifetime import Floats
from collection.core.spares import DepletionError, Usage

_MOST_CASES = 30_000_000


def hours_by(usage: Usage, years: float, *, below: float) -> tuple[Floats, Floats]:
    """Possible cumulative hours by then and their chances.

    Args:
        usage: without booked hours.
        years: moment asked about, >= 0.
        below: hours from which on nobody asks; cases above are left out, so that the chances
            may add up to less than 1.

    Raises:
        DepletionError: so many cases would have to be told apart that it would take minutes.
    """
    if usage.is_fixed:
        return np.array([usage.hours_per_year * years]), np.array([1.0])
    most = below / usage.hours_per_show
    whole = math.floor(years + 1e-12)
    rest = max(years - whole, 0.0)
    shows, chances = _cut(*_whole_years(usage, whole), most)
    if rest < 1e-9:
        return usage.hours_per_show * shows, chances
    # The clock runs evenly through a year that has only begun.
    begun = _possible_shows(usage, most / rest)
    if shows.size * begun.size > _MOST_CASES:
        raise DepletionError("Use varies too much for the exact answer; draw futures instead.")
    given = _begun_chances(usage, whole, shows, begun)
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


def _cut(shows: Floats, chances: Floats, most: float) -> tuple[Floats, Floats]:
    return shows[shows <= most], chances[shows <= most]


def _possible_shows(usage: Usage, most: float) -> Floats:
    """Numbers of shows that one year may have, up to ``most``."""
    return _cut(*_whole_years(usage, 1), most)[0]


def _begun_chances(usage: Usage, whole: int, shows: Floats, begun: Floats) -> Floats:
    """Chances of the shows of one more year given those so far: (so far, more)."""
    mean = usage.shows_per_year
    if usage.yearly_size is not None:
        size = usage.yearly_size
        chances = _negative_binomial_mass(begun, size, mean / size)
        return np.broadcast_to(chances, (shows.size, begun.size))
    assert usage.level_shape is not None
    # The level given what was played is again a Gamma law.
    shape, rate = usage.level_shape + shows[:, None], usage.level_shape / mean + whole
    return _negative_binomial_mass(begun, shape, 1.0 / rate)


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

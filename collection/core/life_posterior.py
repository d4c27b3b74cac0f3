"""What a small log leaves open: Weibull laws drawn in proportion to their credibility.

Model: with T the pull age, the cumulative hazard at T, L = (T / scale) ** shape, given the
shape b is Gamma(r + 1/2, sum((t/T)^b - (e/T)^b)) after r deaths (Jeffreys' prior on L), and
ln b ~ N(ln 1.5, 0.5) before the log. Works with no death at all.
Assumptions: the prior on the shape is a house rule: parts settle a little or wear out,
a shape of 0.56 to 4.0 with 95 %. With few deaths it decides much; the page says so.
Limits: it answers for ages near the pull age; far beyond, the prior speaks, not the log.
Source: the conjugate form is textbook Bayes (A. Gelman et al., Bayesian Data Analysis, ch. 2,
from memory); the choice of T as the reference age, which keeps L and b nearly independent,
is ours.
"""

import math

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from collection.core.life_log import LifeLog, life_log
from collection.core.lifetime import Floats, LifeDraws, LifeError, checked_pull

_PRIOR_MEAN, _PRIOR_SD = math.log(1.5), 0.5
_GRID = _PRIOR_MEAN + _PRIOR_SD * np.linspace(-4.5, 4.5, 400)


def posterior(
    hours: ArrayLike,
    failed: ArrayLike,
    *,
    pull_at_hours: float,
    draws: int,
    seed: int,
    entry_hours: ArrayLike | None = None,
) -> LifeDraws:
    """Draw Weibull laws from the posterior.

    Args:
        hours, failed, entry_hours: see ``life_log``.
        pull_at_hours: the age T in hours at which the question is asked.
        draws: how many laws, at least 1.
        seed: a number >= 0; the same seed gives the same draws.

    Raises:
        LifeError: the log makes no sense, the pull age is not above zero hours and finite,
            there is nothing to draw, or no part in the log was ever on.
    """
    log = life_log(hours, failed, entry_hours)
    pull = checked_pull(pull_at_hours)
    if math.isinf(pull):
        raise LifeError("The posterior needs a finite pull age to look at.")
    if draws < 1:
        raise LifeError(f"At least one draw is needed, not {draws}.")
    exposure = _exposure(log, pull)
    rng = np.random.default_rng(np.random.SeedSequence(seed, spawn_key=(11,)))
    log_shapes = _draw_log_shapes(_log_density(log, pull, exposure), rng.random(draws))
    rates = np.exp(np.interp(log_shapes, _GRID, np.log(exposure)))
    hazards = rng.gamma(log.failures + 0.5, size=draws) / rates
    shapes = np.exp(log_shapes)
    return LifeDraws(
        shapes,
        pull * np.maximum(hazards, 1e-40) ** (-1.0 / shapes),
        failures=log.failures,
        lives=log.lives,
        longest_hours=log.longest_hours,
    )


def _exposure(log: LifeLog, pull: float) -> Floats:
    """sum((t/T)^b - (e/T)^b) along the grid of shapes: (400,)."""
    shapes = np.exp(_GRID)[:, None]
    with np.errstate(over="ignore"):
        ends = ((log.hours / pull) ** shapes).sum(axis=1)
        starts = ((log.entry_hours / pull) ** shapes).sum(axis=1)
    exposure = np.asarray(ends - starts)
    if not (np.all(np.isfinite(exposure)) and np.all(exposure > 0)):
        raise LifeError("No part in the log was on for long enough to say anything about it.")
    return exposure


def _log_density(log: LifeLog, pull: float, exposure: Floats) -> Floats:
    deaths = log.failures
    ages = np.log(log.hours[log.failed] / pull).sum()
    likelihood = deaths * _GRID + np.exp(_GRID) * ages - (deaths + 0.5) * np.log(exposure)
    prior = -0.5 * ((_GRID - _PRIOR_MEAN) / _PRIOR_SD) ** 2
    total = np.asarray(likelihood + prior)
    return np.asarray(total - special.logsumexp(total))


def _draw_log_shapes(log_density: Floats, uniforms: Floats) -> Floats:
    """Inverse of the distribution on the grid, each point spread evenly over its cell."""
    width = _GRID[1] - _GRID[0]
    edges = np.concatenate((_GRID - width / 2, [_GRID[-1] + width / 2]))
    below = np.concatenate(([0.0], np.cumsum(np.exp(log_density))))
    drawn = np.interp(uniforms * below[-1], below, edges)
    return np.asarray(np.clip(drawn, _GRID[0], _GRID[-1]))

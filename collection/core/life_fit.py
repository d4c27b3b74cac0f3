"""Weibull law by maximum likelihood, for logs with enough deaths.

With r deaths at x, ends t and first hours e, the scale that fits a shape b best is
``(sum(t^b - e^b) / r) ** (1 / b)``; what remains is one equation in b::

    1/b + mean(ln x) - sum(t^b ln t - e^b ln e) / sum(t^b - e^b) = 0

solved by Brent's method on ln b. The 95 % limits are those of the profile likelihood, which
are lopsided as they should be.
Limits: with fewer than five deaths the estimate is a guess; use ``posterior`` instead.
Source: W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data (1998),
ch. 8 and 11 (from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import optimize

from collection.core.life_log import LifeLog, life_log
from collection.core.lifetime import Floats, Life, LifeError

# Half the 95 % point of chi-square with one degree of freedom.
_DROP = 1.920729410347063
_LOWEST, _HIGHEST = math.log(0.02), math.log(200.0)


@dataclass(frozen=True)
class WeibullFit:
    """A fitted Weibull law; the intervals are 95 % profile likelihood, hours for the scale.

    An end of an interval that the log leaves open is 0 or ``inf``.
    """

    shape: float
    scale_hours: float
    log_likelihood: float
    shape_interval: tuple[float, float]
    scale_interval: tuple[float, float]
    failures: int
    lives: int
    longest_hours: float

    def life(self) -> Life:
        """The fitted law as a life."""
        return Life(shape=self.shape, scale_hours=self.scale_hours)


def fit(hours: ArrayLike, failed: ArrayLike, *, entry_hours: ArrayLike | None = None) -> WeibullFit:
    """Fit a Weibull law to a log of lives.

    Args:
        hours, failed, entry_hours: see ``life_log``.

    Raises:
        LifeError: the log makes no sense, nobody died, or all died at the same age.
    """
    log = life_log(hours, failed, entry_hours)
    _refuse_hopeless(log)
    likelihood = _Likelihood(log)
    log_shape = _best_log_shape(likelihood)
    shape = math.exp(log_shape)
    scale = likelihood.scale(shape)
    top = likelihood.profile(log_shape)
    return WeibullFit(
        shape=shape,
        scale_hours=scale * likelihood.unit,
        log_likelihood=top - log.failures * math.log(likelihood.unit),
        shape_interval=_shape_interval(likelihood, log_shape, top),
        scale_interval=_scale_interval(likelihood, log_shape, top),
        failures=log.failures,
        lives=log.lives,
        longest_hours=log.longest_hours,
    )


def _refuse_hopeless(log: LifeLog) -> None:
    if not log.failures:
        raise LifeError(
            "Nothing in the log has died, so no law can be fitted; the posterior still can say "
            "how bad it might be."
        )
    ages = log.hours[log.failed]
    if (log.failures > 1 and np.ptp(ages) == 0) or ages.min() == log.longest_hours:
        raise LifeError(
            f"All deaths in the log are at {ages[0]:g} hours; deaths at one age fit no law."
        )


class _Likelihood:
    """Log-likelihood with hours in units of the longest life, so that no power overflows."""

    def __init__(self, log: LifeLog) -> None:
        self.unit = log.longest_hours
        self.deaths = log.failures
        # Zero hours add nothing to any sum; their logarithm would be -inf.
        self.ends = log.hours[log.hours > 0] / self.unit
        self.starts = log.entry_hours[log.entry_hours > 0] / self.unit
        self.sum_log_deaths = float(np.log(log.hours[log.failed] / self.unit).sum())

    def exposure(self, shape: float) -> float:
        return float((self.ends**shape).sum() - (self.starts**shape).sum())

    def slope_of_exposure(self, shape: float) -> float:
        return float(_weighted(self.ends, shape) - _weighted(self.starts, shape))

    def scale(self, shape: float) -> float:
        return float((self.exposure(shape) / self.deaths) ** (1.0 / shape))

    def at(self, log_shape: float, log_scale: float) -> float:
        shape = math.exp(log_shape)
        drawn = self.deaths * (log_shape - shape * log_scale)
        hazard = self.exposure(shape) * math.exp(min(-shape * log_scale, 700.0))
        return drawn + (shape - 1.0) * self.sum_log_deaths - hazard

    def profile(self, log_shape: float) -> float:
        shape = math.exp(log_shape)
        rate = math.log(self.deaths / self.exposure(shape))
        return self.deaths * (log_shape + rate - 1.0) + (shape - 1.0) * self.sum_log_deaths

    def score(self, log_shape: float) -> float:
        """Slope of the profile in b, divided by the number of deaths."""
        shape = math.exp(log_shape)
        pulled = self.slope_of_exposure(shape) / self.exposure(shape)
        return 1.0 / shape + self.sum_log_deaths / self.deaths - pulled


def _weighted(ages: Floats, shape: float) -> float:
    return float((ages**shape * np.log(ages)).sum())


def _best_log_shape(likelihood: _Likelihood) -> float:
    # Under truncation the profile may have more than one hill: look along it first.
    grid = np.linspace(_LOWEST, _HIGHEST, 160)
    best = int(np.argmax([likelihood.profile(float(x)) for x in grid]))
    if best in (0, grid.size - 1):
        raise LifeError("The deaths in the log fit no Weibull law with a shape of 0.02 to 200.")
    root = optimize.brentq(likelihood.score, grid[best - 1], grid[best + 1], xtol=1e-13, rtol=1e-13)
    return float(root)


def _shape_interval(likelihood: _Likelihood, best: float, top: float) -> tuple[float, float]:
    def short(log_shape: float) -> float:
        return likelihood.profile(log_shape) - top + _DROP

    return _crossing(short, best, -0.2), _crossing(short, best, 0.2)


def _scale_interval(likelihood: _Likelihood, best: float, top: float) -> tuple[float, float]:
    def best_at(log_scale: float) -> float:
        found = optimize.minimize_scalar(
            lambda x: -likelihood.at(x, log_scale),
            bounds=(_LOWEST, _HIGHEST),
            method="bounded",
            options={"xatol": 1e-9},
        )
        return -float(found.fun) - top + _DROP

    centre = math.log(likelihood.scale(math.exp(best)))
    low, high = _crossing(best_at, centre, -0.1), _crossing(best_at, centre, 0.1)
    return low * likelihood.unit, high * likelihood.unit


def _crossing(short: Callable[[float], float], start: float, step: float) -> float:
    """exp of where ``short`` falls through zero, walking from ``start``; 0 or inf if nowhere."""
    inner, outer = start, start + step
    while short(outer) > 0:
        inner, outer, step = outer, outer + 2 * step, 2 * step
        if abs(outer - start) > 12:  # a factor of 160,000: the log leaves this end open
            return 0.0 if step < 0 else math.inf
    return math.exp(float(optimize.brentq(short, inner, outer, xtol=1e-10)))

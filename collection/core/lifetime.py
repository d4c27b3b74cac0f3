"""The life of a part in hours on: its survival function and its mean cycle.

Model: three independent causes of death. A share of the parts is weak and dies early at a
constant rate; every part may die at random at a constant rate; every part wears out by a
Weibull law. With t in hours on::

    S(t) = [(1 - early_share) + early_share exp(-t / early_hours)]
           x exp(-random_per_hour t) x exp(-(t / scale_hours) ** shape)

Assumptions: parts are alike and die independently of each other; only hours on count, not
switching, transport or the shelf.
Limits: a law fitted to lives of up to 200 h says nothing about 500 h.
Source: the mixture and competing-risk forms are those of R. E. Barlow and F. Proschan,
Mathematical Theory of Reliability (1965), ch. 2 (from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Floats = NDArray[np.float64]

# Sixteen Gauss-Legendre nodes on eight parts of every halving of the interval: survival
# functions are steep at zero (shape < 1) or near the scale (shape > 5), never both in one part.
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
_HALVINGS = 60
_PARTS = 8


class LifeError(ValueError):
    """A life, a log of lives or a question about them that makes no sense."""


@dataclass(frozen=True)
class Life:
    """One law of life, hours on.

    Args:
        shape: Weibull shape, > 0; above 1 parts wear out, below 1 they settle.
        scale_hours: Weibull scale in hours, > 0; ``inf`` means that nothing wears out.
        early_share: share of weak parts, 0 to 1.
        early_hours: mean life of a weak part in hours, > 0.
        random_per_hour: deaths per hour at any age, >= 0.

    Raises:
        LifeError: a parameter is outside its range.
    """

    shape: float
    scale_hours: float
    early_share: float = 0.0
    early_hours: float = 1.0
    random_per_hour: float = 0.0

    def __post_init__(self) -> None:
        if not (0 < self.shape < math.inf):
            raise LifeError(f"The shape of a life is above zero and finite, not {self.shape}.")
        if not self.scale_hours > 0:
            raise LifeError(f"The scale of a life is above zero hours, not {self.scale_hours}.")
        if not 0 <= self.early_share <= 1:
            raise LifeError(f"The share of early deaths is 0 to 1, not {self.early_share}.")
        if not 0 < self.early_hours < math.inf:
            raise LifeError(f"Early deaths take more than zero hours, not {self.early_hours}.")
        if not 0 <= self.random_per_hour < math.inf:
            raise LifeError(f"Random deaths per hour are zero or more, not {self.random_per_hour}.")

    @property
    def only_wears(self) -> bool:
        """True when the law is a plain Weibull law."""
        return self.early_share == 0 and self.random_per_hour == 0

    def cumulative_hazard(self, hours: ArrayLike) -> Floats:
        """-ln S at the hours given (any shape); 0 before zero hours."""
        t = np.clip(np.asarray(hours, dtype=np.float64), 0.0, 1e300)
        with np.errstate(over="ignore"):
            wear = (t / self.scale_hours) ** self.shape
        return np.asarray(wear + self.random_per_hour * t + self._early_hazard(t))

    def _early_hazard(self, t: Floats) -> Floats:
        if self.early_share == 0:
            return np.zeros_like(t)
        if self.early_share == 1:  # log1p(expm1(-x)) would reach log(0)
            return np.asarray(t / self.early_hours)
        return np.asarray(-np.log1p(self.early_share * np.expm1(-t / self.early_hours)))

    def survival(self, hours: ArrayLike) -> Floats:
        """Chance to live longer than the hours given, 0 to 1, in the shape of ``hours``."""
        return np.asarray(np.exp(-self.cumulative_hazard(hours)))

    def mean_cycle(self, pull_at_hours: float | None, *, set_size: int = 1) -> float:
        """Mean hours from fitting to pull or death, the integral of S from 0 to the pull age.

        Args:
            pull_at_hours: pull age in hours; None (or ``inf``): run until it fails.
            set_size: parts in a set that ends with its first failure.

        Returns:
            Hours, above 0; ``inf`` where a part may live for ever and is never pulled.

        Raises:
            LifeError: the pull age is not above zero.

        >>> round(Life(shape=1.0, scale_hours=300.0).mean_cycle(60.0), 6)
        54.380774
        """
        upper = checked_pull(pull_at_hours)
        if self.only_wears:
            cycles = weibull_mean_cycle(self.shape, self.scale_hours, upper, set_size=set_size)
            return float(cycles)
        never = math.isinf(self.scale_hours) and self.random_per_hour == 0 and self.early_share < 1
        if math.isinf(upper):
            if never:
                return math.inf
            upper = self._outlived(set_size)
        return integral(lambda t: np.exp(-set_size * self.cumulative_hazard(t)), upper)

    def _outlived(self, set_size: int) -> float:
        """Hours that one set in 10^19 outlives."""
        hours = self.early_hours
        while set_size * float(self.cumulative_hazard(hours)) < 44:
            hours *= 2
        return hours


class LifeDraws:
    """Weibull laws drawn from what the log leaves open; future i uses draw i mod draws.

    Args:
        shapes, scales: (draws,) Weibull shapes and scales in hours, all above zero.
        failures, lives, longest_hours: what was in the log, if it came from one; they only
            steer warnings.

    Raises:
        LifeError: lengths differ, nothing was drawn, or a value is not above zero.
    """

    def __init__(
        self,
        shapes: ArrayLike,
        scales: ArrayLike,
        *,
        failures: int | None = None,
        lives: int | None = None,
        longest_hours: float | None = None,
    ) -> None:
        self.shapes = np.array(shapes, dtype=np.float64, ndmin=1)
        self.scales = np.array(scales, dtype=np.float64, ndmin=1)
        self.failures, self.lives, self.longest_hours = failures, lives, longest_hours
        if self.shapes.ndim != 1 or self.shapes.shape != self.scales.shape:
            raise LifeError("Draws of a life need as many shapes as scales, in one row each.")
        if not self.shapes.size:
            raise LifeError("Draws of a life need at least one draw.")
        if not (np.all(self.shapes > 0) and np.all(self.scales > 0)):
            raise LifeError("Every drawn shape and scale is above zero.")
        self.shapes.setflags(write=False)
        self.scales.setflags(write=False)

    def __len__(self) -> int:
        return int(self.shapes.size)

    def cumulative_hazard(self, hours: float) -> Floats:
        """-ln S of every draw at one age in hours: (draws,)."""
        with np.errstate(over="ignore"):
            return np.asarray((min(hours, 1e300) / self.scales) ** self.shapes)

    def survival(self, hours: ArrayLike) -> Floats:
        """Chance to live longer than the hours given, averaged over the draws."""
        t = np.clip(np.asarray(hours, dtype=np.float64), 0.0, 1e300)[..., np.newaxis]
        with np.errstate(over="ignore"):
            return np.asarray(np.exp(-((t / self.scales) ** self.shapes)).mean(axis=-1))

    def mean_cycles(self, pull_at_hours: float | None, *, set_size: int = 1) -> Floats:
        """Mean cycle of every draw in hours, (draws,); see ``Life.mean_cycle``."""
        upper = checked_pull(pull_at_hours)
        return weibull_mean_cycle(self.shapes, self.scales, upper, set_size=set_size)

    def mean_cycle(self, pull_at_hours: float | None, *, set_size: int = 1) -> float:
        """Mean cycle in hours over all draws; see ``Life.mean_cycle``."""
        return float(self.mean_cycles(pull_at_hours, set_size=set_size).mean())


def checked_pull(pull_at_hours: float | None) -> float:
    """The pull age in hours, ``inf`` for None; refuses what is not above zero."""
    if pull_at_hours is None:
        return math.inf
    if not pull_at_hours > 0:
        raise LifeError(f"A pull age is above zero hours, not {pull_at_hours}.")
    return float(pull_at_hours)


def weibull_mean_cycle(
    shape: ArrayLike, scale_hours: ArrayLike, pull_at_hours: float, *, set_size: int = 1
) -> Floats:
    """Closed form of the mean cycle of a Weibull law, elementwise, in hours.

    A set of q equal parts lives by the same law with the scale divided by q ** (1 / shape).
    Source: the substitution u = (t / scale) ** shape turns the integral of S into the lower
    incomplete gamma function of 1 / shape.
    """
    b = np.asarray(shape, dtype=np.float64)
    scale = np.asarray(scale_hours, dtype=np.float64) * set_size ** (-1.0 / b)
    b, scale = np.broadcast_arrays(b, scale)
    # A scale of inf times a share of zero would be nan; such parts only ever reach the pull.
    lasting = np.isinf(scale)
    known = np.where(lasting, 1.0, scale)
    with np.errstate(over="ignore"):
        share = special.gammainc(1.0 / b, (pull_at_hours / known) ** b)
    cycle = known * special.gamma(1.0 + 1.0 / b) * share
    # Rounding may end a hair above the pull age, where the true value cannot be.
    return np.where(lasting, pull_at_hours, np.minimum(cycle, pull_at_hours))


def integral(function: Callable[[Floats], Floats], upper: float) -> float:
    """Integral of a smooth bounded function from 0 to ``upper``, by graded Gauss-Legendre.

    Limits: about 1e-13 relative for survival functions with shapes between 0.2 and 100.
    """
    doublings = upper * 2.0 ** -np.arange(_HALVINGS, -1, -1, dtype=np.float64)
    lows = np.concatenate(([0.0], doublings[:-1]))
    cuts = lows[:, None] + (doublings - lows)[:, None] * np.arange(_PARTS) / _PARTS
    widths = np.repeat((doublings - lows) / _PARTS, _PARTS)
    points = cuts.reshape(-1, 1) + widths[:, None] * (_NODES + 1) / 2
    return float(widths @ (function(points) @ _WEIGHTS) / 2)

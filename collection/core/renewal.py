"""Renewal processes on a lattice, for any survival function; and small helpers beside them.

A life is put onto multiples of a step d so that its mean is kept: with G(h) the integral of
S from 0 to h, capped at the pull age, ::

    p_0 = 1 - G(d)/d,   p_j = (2 G(jd) - G((j-1)d) - G((j+1)d)) / d

Sums of lives are convolutions of these masses, done by FFT. A mass on the lattice stands for
one spread evenly over a step to either side, so half of it counts at its own point, except
for the atom of parts which were only ever pulled: it sits exactly at multiples of the pull
age and counts whole.
Limits: the error falls with d^2 (with d right at a multiple of the pull age, where the
density of deaths breaks off); with d at a hundredth of the mean life it is about 1e-5 in a
chance. Rounding adds about 1e-15 a convolution.
Source: the lattice rule is local moment matching of order one (H. Gerber, 1982; S. Klugman,
H. Panjer and G. Willmot, Loss Models, section 9.6, from memory); age replacement costs: R. E.
Barlow and F. Proschan, Mathematical Theory of Reliability (1965), ch. 4 (from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import fft, optimize, special

from collection.core.lifetime import Floats, LifeError, checked_pull, integral

Survival = Callable[[Floats], Floats]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)


@dataclass(frozen=True, eq=False)
class Gap:
    """One gap between demands on the lattice.

    Args:
        masses: (cells + 1,) chance of a gap of 0, 1, ... steps, pulls included.
        atom: chance of a pull.
        atom_at: steps until the pull; beyond the last cell where there is none.
    """

    masses: Floats
    atom: float
    atom_at: int


def gap(
    survival: Survival, *, step: float, cells: int, pull: int | None = None, age: int = 0
) -> Gap:
    """Put the rest of a life, from ``age`` to death or pull, onto the lattice.

    Args:
        survival: S(t), t in hours, falling from S(0) = 1; any shape of array.
        step: width of the lattice in hours.
        cells: steps to look ahead.
        pull: pull age in steps, or None.
        age: age now in steps; at or past the pull age the gap is 0.

    Raises:
        LifeError: the step is not above zero, or a part of this age has died for certain.
    """
    if not step > 0:
        raise LifeError(f"A step is above zero hours, not {step}.")
    left = cells + 2 if pull is None else max(pull - age, 0)
    if left == 0:
        masses = np.zeros(cells + 1)
        masses[0] = 1.0
        return Gap(masses, 1.0, 0)
    start = float(survival(np.array([age * step]))[0])
    if not start > 0:
        raise LifeError(f"No part lives to {age * step:g} hours by this law.")
    reach = min(left, cells + 2)
    areas = np.zeros(cells + 3)
    areas[1 : reach + 1] = np.cumsum(_areas(survival, step, age, reach)) / start
    areas[reach + 1 :] = areas[reach]
    masses = np.empty(cells + 1)
    masses[0] = 1.0 - areas[1] / step
    masses[1:] = (2 * areas[1:-2] - areas[:-3] - areas[2:-1])[:cells] / step
    atom = 0.0 if pull is None else float(survival(np.array([pull * step]))[0]) / start
    return Gap(np.maximum(masses, 0.0), atom, left)


def _areas(survival: Survival, step: float, first: int, count: int) -> Floats:
    """Integral of S over each of ``count`` steps from step ``first``."""
    points = (first + np.arange(count)[:, None] + (_NODES + 1) / 2) * step
    areas: Floats = np.asarray(survival(points) @ _WEIGHTS * step / 2)
    if first == 0 and count:  # steep at zero where the shape is below 1
        areas[0] = integral(survival, step)
    return areas


def convolved(one: Floats, other: Floats) -> Floats:
    """Masses of a sum of two independent gaps, as far as the lattice goes."""
    length = fft.next_fast_len(2 * one.size, real=True)
    product = fft.rfft(one, length) * fft.rfft(other, length)
    return np.asarray(np.maximum(fft.irfft(product, length)[: one.size], 0.0))


def renewals(survival: Survival, at_hours: float, *, step: float) -> float:
    """Expected renewals by ``at_hours``, the first life being new.

    Args:
        survival: S(t) with a finite hazard.
        at_hours: a multiple of the step.
        step: width of the lattice in hours.
    """
    cells = round(at_hours / step)
    masses = gap(survival, step=step, cells=cells).masses
    rates = np.zeros(cells + 1)
    for cell in range(cells + 1):
        again = float(masses[1 : cell + 1] @ rates[cell - 1 :: -1]) if cell else 0.0
        rates[cell] = (masses[cell] + again) / (1.0 - masses[0])
    # m(t) = F(t) + sum of F(t - s) over renewals at s; F itself may bend sharply, its sum not.
    left: Floats = np.arange(cells, -1, -1, dtype=np.float64) * step
    died = 1.0 - survival(left)
    return float(died[0] + rates @ died)


def cost_rate(
    survival: Survival, *, pull_at_hours: float, planned_cost: float, failure_cost: float
) -> float:
    """Long-run cost per hour of one socket that is re-fitted at the pull age or at death."""
    pull = checked_pull(pull_at_hours)
    alive = float(survival(np.array([pull]))[0])
    cost = planned_cost * alive + failure_cost * (1.0 - alive)
    return cost / integral(survival, pull)


def best_pull_age(
    survival: Survival,
    *,
    within_hours: tuple[float, float],
    planned_cost: float,
    failure_cost: float,
) -> float:
    """The pull age in hours with the least cost per hour, inside an interval.

    Limits: the cost must have one valley inside the interval, as it has for parts that wear
    out; at an end of the interval pulling by age does not pay (or always does).
    """

    def cost(pull: float) -> float:
        return cost_rate(
            survival, pull_at_hours=pull, planned_cost=planned_cost, failure_cost=failure_cost
        )

    found = optimize.minimize_scalar(
        cost, bounds=within_hours, method="bounded", options={"xatol": 1e-6 * within_hours[1]}
    )
    return float(found.x)


def spares_needed(mean_demand: float, chance: float) -> int:
    """The fewest spares that meet a Poisson demand with at least this chance.

    Args:
        mean_demand: expected demands over the time asked about, >= 0.
        chance: above 0 and below 1.

    >>> spares_needed(5.0, 0.95)
    9
    """
    if not (0 <= mean_demand < math.inf and 0 < chance < 1):
        raise LifeError("Spares need a mean demand of at least 0 and a chance between 0 and 1.")
    spares = 0
    while special.pdtr(spares, mean_demand) < chance:
        spares += 1
    return spares


def lowest_mean_life(unit_hours: float, *, failures: int, confidence: float) -> float:
    """Lower limit of a mean life in hours, by a test of fixed length with these failures.

    Assumes a constant rate of failure.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1 (chi-square limits).
    """
    if not (unit_hours > 0 and failures >= 0 and 0 < confidence < 1):
        raise LifeError("A limit needs hours, failures from 0 up and a confidence of 0 to 1.")
    return unit_hours / float(special.gammaincinv(failures + 1.0, confidence))

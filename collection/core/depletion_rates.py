"""Steady rates of use and of failure, and the hand rule to print beside a forecast.

With age replacement a socket uses one unit per mean cycle and fails F(T) times per mean
cycle. Nothing here is random.
Source: R. E. Barlow and F. Proschan, Mathematical Theory of Reliability (1965), ch. 3 (from
memory); the hand rule is common practice, no source.
"""

import math

import numpy as np

from collection.core.lifetime import Life, LifeDraws
from collection.core.spares import DepletionError, Sockets, Stock, Usage


def mean_cycles(stock: Stock, sockets: Sockets, life: Life | LifeDraws) -> tuple[float, ...]:
    """Mean hours between two demands of each position in use, on its own clock."""
    return tuple(
        life.mean_cycle(socket.pull_at_hours, set_size=stock.set_size)
        for socket in sockets.in_use()
    )


def failures_per_show(
    stock: Stock, sockets: Sockets, life: Life | LifeDraws, usage: Usage
) -> float:
    """Failures on stage per show over all positions, in the long run."""
    rates = {
        pull: _failure_rate(life, pull, stock.set_size)
        for pull in {socket.pull_at_hours for socket in sockets.in_use()}
    }
    per_hour = sum(socket.share * rates[socket.pull_at_hours] for socket in sockets.in_use())
    return usage.hours_per_show * per_hour


def _failure_rate(life: Life | LifeDraws, pull: float, set_size: int) -> float:
    """F(T) / mean cycle: failures per hour of one socket."""
    if isinstance(life, LifeDraws):
        cycles = life.mean_cycles(pull, set_size=set_size)
        fails = np.full_like(cycles, 1.0)
        if math.isfinite(pull):
            fails = -np.expm1(-set_size * life.cumulative_hazard(pull))
        return float((fails / cycles).mean())
    cycle = life.mean_cycle(pull, set_size=set_size)
    if math.isinf(pull):
        return 1.0 / cycle
    return float(-np.expm1(-set_size * life.cumulative_hazard(pull))) / cycle


def _demand_rate(life: Life | LifeDraws, pull: float, set_size: int) -> float:
    if isinstance(life, LifeDraws):
        return float((1.0 / life.mean_cycles(pull, set_size=set_size)).mean())
    return 1.0 / life.mean_cycle(pull, set_size=set_size)


def hand_rule_years(stock: Stock, sockets: Sockets, life: Life | LifeDraws, usage: Usage) -> float:
    """Years = spares x share that passes x mean cycle / (positions x hours on a year).

    Blind to ages, losses, booked months and chance; a check on the order of magnitude.

    Raises:
        DepletionError: no show a year is planned.
    """
    if not usage.hours_per_year:
        raise DepletionError("The hand rule needs shows a year; only booked months are known.")
    per_hour = sum(
        socket.share * _demand_rate(life, socket.pull_at_hours, stock.set_size)
        for socket in sockets.in_use()
    )
    if per_hour == 0:
        return math.inf
    return stock.units * stock.passes_test / (per_hour * usage.hours_per_year)


def mates_gain_limit(stock: Stock, life: Life | LifeDraws, *, pull_at_hours: float) -> float:
    """The most that fitting loose mates of broken sets again could add, as a share of years.

    1 - (mean cycle of a set) / T; counted for the page, never part of a forecast.

    Raises:
        DepletionError: the parts are not used in sets.
    """
    if stock.set_size == 1:
        raise DepletionError("Parts that are used singly leave no mates behind.")
    return 1.0 - life.mean_cycle(pull_at_hours, set_size=stock.set_size) / pull_at_hours

"""A burn-in moves early deaths to the bench and costs what the law says it costs."""

import math

import numpy as np
import pytest

from collection.core.burn_in import after_burn_in, burned_in, survives_bench
from collection.core.depletion import (
    DepletionError,
    Sockets,
    Stock,
    Usage,
    deplete,
    exact,
    failures_per_show,
)
from collection.core.life import Life, LifeDraws

EARLY = Life(shape=2.0, scale_hours=400.0, early_share=0.1, early_hours=5.0)
USAGE = Usage(shows_per_year=100, hours_per_show=2.0)


def test_a_life_without_memory_is_not_changed_by_a_burn_in():
    """Exponential: the residual life is the life (any textbook of probability)."""
    life = Life(shape=1.0, scale_hours=300.0)
    later = burned_in(life, 20.0)
    assert later.survival(60.0) == pytest.approx(math.exp(-60 / 300))
    assert later.mean_cycle(60.0) == pytest.approx(54.380774, abs=1e-5)
    assert survives_bench(life, 20.0, set_size=2) == pytest.approx(math.exp(-40 / 300))


def test_weak_ones_die_on_the_bench_and_not_on_stage():
    """A tenth is weak with 5 h mean life: after 10 h, 0.1 e^-2 of 1 - 0.1 + 0.1 e^-2 is left."""
    later = burned_in(EARLY, 10.0)
    weak = 0.1 * math.exp(-2) / (0.9 + 0.1 * math.exp(-2))
    alive = (1 - weak) + weak * math.exp(-50 / 5)
    wear = math.exp(-((60 / 400) ** 2) + (10 / 400) ** 2)
    assert later.survival(50.0) == pytest.approx(alive * wear)
    stock, sockets = Stock(40), Sockets((0.0, 0.0), 60.0)
    then = after_burn_in(stock, sockets, EARLY, hours=10.0)
    before = failures_per_show(stock, sockets, EARLY, USAGE)
    assert failures_per_show(*then, USAGE) < before / 3


def test_where_parts_wear_out_a_burn_in_only_costs():
    worn = Life(shape=4.0, scale_hours=300.0)
    stock, sockets = Stock(40), Sockets((0.0, 0.0), 60.0)
    then = after_burn_in(stock, sockets, worn, hours=20.0)
    now_years = deplete(stock, sockets, worn, USAGE, seed=1).quantile(0.5)
    then_years = deplete(*then, USAGE, seed=1).quantile(0.5)
    assert then_years == pytest.approx(now_years * 40 / 60, rel=0.05)
    assert failures_per_show(*then, USAGE) > failures_per_show(stock, sockets, worn, USAGE)


def test_drawn_laws_burn_in_like_the_law_they_are():
    life = Life(shape=0.7, scale_hours=400.0)
    drawn = LifeDraws([0.7, 0.7], [400.0, 400.0])
    one, many = burned_in(life, 10.0), burned_in(drawn, 10.0)
    assert many.mean_cycle(50.0) == pytest.approx(one.mean_cycle(50.0), rel=1e-9)
    assert many.survival(np.array([5.0, 50.0])) == pytest.approx(one.survival([5.0, 50.0]))
    stock, sockets = Stock(30, set_size=2), Sockets((5.0, 30.0), 60.0)
    found = [
        deplete(*after_burn_in(stock, sockets, law, hours=10.0), USAGE, seed=1)
        for law in (life, drawn)
    ]
    for p in (0.1, 0.5, 0.9):
        assert found[0].quantile(p) == pytest.approx(found[1].quantile(p), rel=0.03)


def test_the_futures_after_a_burn_in_agree_with_the_exact_answer():
    stock, sockets, life = after_burn_in(Stock(8), Sockets((0.0,), 60.0), EARLY, hours=10.0)
    answer = exact(stock, sockets, life, USAGE, step_hours=0.5)
    drawn = deplete(stock, sockets, life, USAGE, seed=3)
    for years in (1.0, 1.5, 2.0):
        assert drawn.chance_by(years) == pytest.approx(answer.chance_by(years), abs=0.02)


@pytest.mark.parametrize(
    ("hours", "said"),
    [(0.0, "more than zero hours"), (60.0, "leaves nothing before the pull at 60")],
)
def test_a_burn_in_that_makes_no_sense_is_refused(hours, said):
    with pytest.raises(DepletionError, match=said):
        after_burn_in(Stock(8), Sockets((0.0,), 60.0), EARLY, hours=hours)


def test_what_has_been_burned_in_is_not_burned_in_again():
    with pytest.raises(DepletionError, match="already"):
        burned_in(burned_in(EARLY, 5.0), 5.0)

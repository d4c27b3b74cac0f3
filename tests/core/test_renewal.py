"""The lattice and its small helpers against published values."""

import math
from functools import partial

import numpy as np
import pytest
from scipy import stats

from collection.core.depletion import Sockets, Stock, Usage, exact
from collection.core.life import Life, LifeError
from collection.core.renewal import (
    best_pull_age,
    convolved,
    cost_rate,
    gap,
    lowest_mean_life,
    renewals,
    spares_needed,
)


def erlang_2(hours: np.ndarray) -> np.ndarray:
    return np.exp(-hours) * (1 + hours)


def weibull_of_mean_one(shape: float) -> Life:
    return Life(shape=shape, scale_hours=1 / math.gamma(1 + 1 / shape))


def test_three_exponential_sockets_ask_for_at_most_ten_by_the_poisson_law():
    # Poisson identity: 3 sockets, .01 failures an hour, 400 h are Poisson demands of mean 12.
    forecast = exact(
        Stock(units=10),
        Sockets(hours_on=(0.0, 0.0, 0.0), pull_at_hours=None),
        Life(shape=1.0, scale_hours=100.0),
        Usage(shows_per_year=1, hours_per_show=1),
        step_hours=0.5,
    )
    assert 1 - forecast.chance_by(400) == pytest.approx(0.34722942, abs=1e-5)


@pytest.mark.parametrize("hours", [10.0, 100.0, 400.0])
def test_exponential_lives_renew_in_proportion_to_time(hours):
    # Poisson identity: m(t) = t / mean life.
    made = renewals(Life(shape=1.0, scale_hours=100.0).survival, hours, step=hours / 1000)
    assert made == pytest.approx(hours / 100, rel=1e-5)


def test_uniform_lives_renew_e_less_one_times_in_their_longest_life():
    # Ross, Introduction to Probability Models, ch. 7 (from memory): m(1) = e - 1.
    made = renewals(lambda t: np.clip(1 - t, 0, None), 1.0, step=1e-3)
    assert made == pytest.approx(1.718281828, abs=1e-6)


@pytest.mark.parametrize(
    ("hours", "expected"), [(1.0, 0.28383382), (2.0, 0.75457891), (5.0, 2.25001135)]
)
def test_erlang_lives_renew_as_tabled(hours, expected):
    # Barlow & Proschan 1965, ch. 3 (from memory): m(t) = t/2 - (1 - exp(-2t))/4.
    assert renewals(erlang_2, hours, step=1e-3) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("shape", "hours", "expected"),
    [
        (2.0, 0.5, 0.1842977021),
        (2.0, 1.0, 0.6240699014),
        (2.0, 1.5, 1.134159139),
        (2.0, 2.0, 1.637898594),
        (3.0, 0.5, 0.0855510296),
        (3.0, 1.0, 0.5310462062),
        (3.0, 1.5, 1.085034656),
        (3.0, 2.0, 1.559481739),
    ],
)
def test_weibull_lives_of_mean_one_renew_as_tabled(shape, hours, expected):
    # Computed two ways to 1e-7, in the layout of Soland 1968.
    made = renewals(weibull_of_mean_one(shape).survival, hours, step=1e-3)
    assert made == pytest.approx(expected, abs=5e-7)


def test_the_cheapest_pull_age_of_a_weibull_part():
    # Documentation of the `reliability` package: Weibull 1000 h, 2.5, costs 1 and 5. Its
    # 493.185 is the answer of a grid, .05 % away from the optimum.
    survival = Life(shape=2.5, scale_hours=1000.0).survival
    cost = partial(cost_rate, survival, planned_cost=1, failure_cost=5)
    age = best_pull_age(survival, within_hours=(1, 3000), planned_cost=1, failure_cost=5)
    assert age == pytest.approx(493.047, abs=0.01)
    assert age == pytest.approx(493.185, rel=5e-4)
    assert cost(pull_at_hours=age) == pytest.approx(0.00346204, abs=1e-8)
    assert cost(pull_at_hours=age) < cost(pull_at_hours=493.185)


def test_the_cheapest_pull_age_of_a_part_with_a_rising_density():
    # Durrett, Essentials of Stochastic Processes, ex. 3.16: f = 2t/900 on [0, 30].
    def survival(t: np.ndarray) -> np.ndarray:
        return 1 - np.minimum(t, 30) ** 2 / 900

    age = best_pull_age(survival, within_hours=(1, 30), planned_cost=300, failure_cost=1200)
    cost = cost_rate(survival, pull_at_hours=age, planned_cost=300, failure_cost=1200)
    assert age == pytest.approx(14.576048, abs=1e-4)
    assert cost == pytest.approx(38.160589, abs=1e-5)


def test_pooled_spares_for_three_machines():
    # Trivedi, Probability and Statistics with Reliability ..., 2nd ed., ch. 6 problem 2.
    mean = 0.002 * (1300 + 1500 + 1200)
    assert spares_needed(mean, 0.90) == 12
    assert stats.poisson.cdf(12, mean) == pytest.approx(0.93620, abs=5e-6)
    assert stats.poisson.cdf(11, mean) == pytest.approx(0.88808, abs=5e-6)


def test_the_lattice_gives_the_same_pooled_spares():
    # The same problem, by renewals: three sockets in step over the mean of their hours.
    forecast = exact(
        Stock(units=12),
        Sockets(hours_on=(0.0, 0.0, 0.0), pull_at_hours=None),
        Life(shape=1.0, scale_hours=500.0),
        Usage(shows_per_year=1, hours_per_show=1),
        step_hours=2.5,
    )
    assert 1 - forecast.chance_by(4000 / 3) == pytest.approx(0.93620, abs=2e-5)


def test_spares_for_a_mean_demand_of_four_and_a_third():
    # Blanchard, Logistics Engineering and Management (from memory): mean 4.32 at 95 % is 8.
    assert spares_needed(4.32, 0.95) == 8
    assert stats.poisson.cdf([7, 8], 4.32) == pytest.approx([0.9275, 0.96751], abs=5e-5)


@pytest.mark.parametrize(
    ("mean", "expected"), [(1, (2, 3, 4)), (5, (8, 9, 11)), (20, (26, 28, 31))]
)
def test_fewest_spares_agree_with_poisson_tables(mean, expected):
    # Any Poisson table.
    assert tuple(spares_needed(mean, chance) for chance in (0.90, 0.95, 0.99)) == expected


def test_mean_life_after_a_thousand_hours_without_failure():
    # NIST/SEMATECH e-Handbook 8.4.5.1: 1000 unit-hours, none failed, 90 %: 434.294.
    assert lowest_mean_life(1000, failures=0, confidence=0.9) == pytest.approx(434.294, abs=5e-4)


@pytest.mark.parametrize("failures", [0, 1, 5, 20])
def test_lower_mean_life_is_the_chi_square_limit(failures):
    # scipy.stats as reference: 2 T / chi-square(2 r + 2).
    expected = 2 * 1000 / stats.chi2.ppf(0.9, 2 * failures + 2)
    found = lowest_mean_life(1000, failures=failures, confidence=0.9)
    assert found == pytest.approx(expected, rel=1e-10)


def test_masses_keep_the_mean_and_the_whole():
    life = Life(shape=0.7, scale_hours=80.0)
    masses = gap(life.survival, step=0.5, cells=200, pull=120).masses
    assert masses.sum() == pytest.approx(1, abs=1e-12)
    assert masses @ np.arange(201) * 0.5 == pytest.approx(life.mean_cycle(60.0), rel=1e-9)


def test_an_overdue_part_asks_at_once():
    put = gap(Life(shape=2.0, scale_hours=80.0).survival, step=1.0, cells=10, pull=6, age=7)
    assert put.masses[0] == 1
    assert (put.atom, put.atom_at) == (1.0, 0)


def test_convolution_of_masses_is_that_of_plain_sums():
    one, other = np.array([0.2, 0.5, 0.3, 0.0]), np.array([0.0, 0.9, 0.1, 0.0])
    assert convolved(one, other) == pytest.approx(np.convolve(one, other)[:4], abs=1e-15)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: spares_needed(-1, 0.9),
        lambda: spares_needed(1, 1.0),
        lambda: lowest_mean_life(0, failures=0, confidence=0.9),
        lambda: gap(erlang_2, step=0.0, cells=3),
        lambda: gap(lambda t: np.clip(1 - t, 0, None), step=1.0, cells=3, age=2),
        lambda: cost_rate(erlang_2, pull_at_hours=0, planned_cost=1, failure_cost=2),
    ],
)
def test_senseless_questions_are_refused_in_a_sentence(ask):
    with pytest.raises(LifeError, match=r"\.$"):
        ask()

"""The exact answer against closed forms, and the laws that any forecast must obey."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from collection.core.depletion import DepletionError, Sockets, Stock, Usage, deplete, exact
from collection.core.life import Life, LifeDraws

# One hour a year, so that years are hours.
HOURLY = Usage(shows_per_year=1, hours_per_show=1)
WEARING = Life(shape=2.2, scale_hours=150.0)


@pytest.mark.parametrize(
    ("demand", "hours", "expected"),
    [
        (1, 30, 0.0951625820),
        (3, 150, 0.2691305550),
        (5, 290, 0.5676608358),
        (6, 345, 0.6001796996),
        (7, 395, 0.5834742295),
    ],
)
def test_exponential_lives_pulled_at_sixty_hours(demand, hours, expected):
    # Closed form: life of mean 300 h, pull at 60 h, one socket, k-th demand by t hours.
    forecast = exact(
        Stock(units=demand - 1),
        Sockets(hours_on=(0.0,), pull_at_hours=60.0),
        Life(shape=1.0, scale_hours=300.0),
        HOURLY,
        step_hours=0.5,
    )
    assert forecast.chance_by(hours) == pytest.approx(expected, abs=1e-5)


def test_the_closed_form_of_a_second_demand_worked_by_hand():
    # 60 < t < 120. The first part dies at x: if x <= t - T the second is over by t for sure,
    # else with F(t - x). Or the first is pulled and the second dies within t - T.
    rate, pull, t = 1 / 300, 60.0, 100.0
    grid = np.linspace(t - pull, pull, 200_001)
    late = np.trapezoid(rate * np.exp(-rate * grid) * -np.expm1(-rate * (t - grid)), grid)
    early = -math.expm1(-rate * (t - pull))
    expected = early + late + math.exp(-rate * pull) * early
    forecast = exact(
        Stock(units=1),
        Sockets(hours_on=(0.0,), pull_at_hours=pull),
        Life(shape=1.0, scale_hours=1 / rate),
        HOURLY,
        step_hours=0.25,
    )
    assert forecast.chance_by(t) == pytest.approx(expected, abs=2e-6)


def test_parts_that_are_only_pulled_run_out_at_exact_hours():
    # Sixty sets and two heads: the 61st demand is the first of the 31st pair of pulls.
    forecast = exact(
        Stock(units=60, set_size=2),
        Sockets(hours_on=(0.0, 0.0), pull_at_hours=60.0),
        Life(shape=1.0, scale_hours=math.inf),
        Usage(shows_per_year=120, hours_per_show=1.5),
        step_hours=1.0,
    )
    years = 31 * 60 / 180
    assert forecast.chance_by(years - 1e-3) == pytest.approx(0.0, abs=1e-12)
    assert forecast.chance_by(years) == 1.0
    assert forecast.quantile(0.5) == pytest.approx(years, rel=1e-9)


def test_a_first_demand_of_an_aged_part_is_conditional_on_its_age():
    forecast = exact(
        Stock(units=0),
        Sockets(hours_on=(20.0,), pull_at_hours=60.0),
        WEARING,
        HOURLY,
        step_hours=0.5,
    )
    alive = WEARING.survival([20.0, 45.0])
    assert forecast.chance_by(25) == pytest.approx(1 - alive[1] / alive[0], abs=1e-5)
    assert forecast.chance_by(40) == 1.0


def test_a_part_past_its_pull_age_is_a_demand_now():
    overdue = exact(Stock(units=0), Sockets((60.0, 0.0), 60.0), WEARING, HOURLY, step_hours=1.0)
    assert overdue.chance_by(0) == 1.0
    assert overdue.quantile(0.01) == pytest.approx(0.0, abs=1e-6)


def test_rejected_tests_mix_over_the_number_of_good_spares():
    asked = (Sockets((0.0, 0.0), 60.0), WEARING, HOURLY)
    mixed = exact(Stock(units=5, passes_test=0.8), *asked, step_hours=1.0).chance_by(130)
    by_hand = sum(
        stats.binom.pmf(good, 5, 0.8)
        * exact(Stock(units=good), *asked, step_hours=1.0).chance_by(130)
        for good in range(6)
    )
    assert mixed == pytest.approx(by_hand, abs=1e-12)


@pytest.mark.parametrize(
    ("usage", "law"),
    [
        (Usage(40, 1.0, yearly_size=6.0), lambda n: stats.nbinom(6.0 * n, 6.0 / 46.0)),
        (Usage(40, 1.0, level_shape=6.0), lambda n: stats.nbinom(6.0, 6.0 / (6.0 + 40.0 * n))),
    ],
)
def test_use_that_varies_is_averaged_over_its_law(usage, law):
    # scipy.stats as reference for the number of shows in n whole years.
    asked = (Stock(units=3), Sockets((0.0,), 60.0), WEARING)
    shows = np.arange(1500)
    by_hours = exact(*asked, HOURLY, step_hours=1.0).chance_by_hours(shows.astype(float))
    for years in (3, 6):
        expected = law(years).pmf(shows) @ by_hours
        found = exact(*asked, usage, step_hours=1.0).chance_by(years)
        assert found == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("spread", [{"yearly_size": 0.2}, {"level_shape": 0.2}])
def test_wildly_varying_use_agrees_with_drawn_futures(spread):
    asked = (Stock(5), Sockets((0.0, 15.0), 60.0), WEARING, Usage(100, 1.5, **spread))
    sure, drawn = exact(*asked, step_hours=3.0), deplete(*asked, seed=4, futures=40_000)
    for years in (0.5, 1.0, 3.3, 10.0):
        assert drawn.chance_by(years) == pytest.approx(sure.chance_by(years), abs=0.01)


def test_use_too_wild_for_the_lattice_is_refused():
    asked = (Stock(5), Sockets((0.0,), None), WEARING, Usage(5000, 1.5, level_shape=0.05))
    with pytest.raises(DepletionError, match="varies too much"):
        exact(*asked, step_hours=3.0).chance_by(2.5)


@pytest.mark.parametrize("spread", [{"yearly_size": 6.0}, {"level_shape": 6.0}])
def test_chances_rise_smoothly_through_the_end_of_a_year(spread):
    forecast = exact(
        Stock(units=3), Sockets((0.0,), 60.0), WEARING, Usage(40, 1.0, **spread), step_hours=1.0
    )
    before, at, after = (forecast.chance_by(4 + shift) for shift in (-1e-4, 0, 1e-4))
    assert before <= at + 1e-9
    assert at <= after + 1e-9
    assert after - before < 0.01


def test_draws_of_a_life_are_averaged_over():
    draws = LifeDraws([1.0, 2.5], [200.0, 100.0])
    asked = (Stock(units=4), Sockets((0.0, 10.0), 60.0))
    mixed = exact(*asked, draws, HOURLY, step_hours=1.0).chance_by(110)
    single = [
        exact(*asked, Life(shape=b, scale_hours=h), HOURLY, step_hours=1.0).chance_by(110)
        for b, h in ((1.0, 200.0), (2.5, 100.0))
    ]
    assert mixed == pytest.approx(np.mean(single), abs=1e-12)


def test_a_finer_lattice_changes_little():
    asked = (Stock(units=9), Sockets((0.0, 24.0, 48.0), 60.0), WEARING, HOURLY)
    coarse, fine = (exact(*asked, step_hours=step).chance_by(205) for step in (2.0, 0.5))
    assert coarse == pytest.approx(fine, abs=5e-4)


# The laws. Small settings drawn at random; a year is 100 h.

SETTINGS = st.fixed_dictionaries(
    {
        "units": st.integers(0, 12),
        "passes_test": st.sampled_from([0.6, 0.9, 1.0]),
        "ages": st.lists(st.sampled_from([0.0, 10.0, 40.0]), min_size=1, max_size=3),
        "pull": st.sampled_from([40.0, 60.0, 100.0]),
        "shape": st.sampled_from([1.0, 1.6, 3.0]),
        "scale": st.sampled_from([60.0, 150.0, 600.0]),
    }
)
YEARLY = Usage(shows_per_year=50, hours_per_show=2)


def asked_of(drawn):
    return (
        Stock(units=drawn["units"], passes_test=drawn["passes_test"]),
        Sockets(tuple(drawn["ages"]), drawn["pull"]),
        Life(shape=drawn["shape"], scale_hours=drawn["scale"]),
    )


def chances(stock, sockets, life, usage=YEARLY):
    forecast = exact(stock, sockets, life, usage, step_hours=2.0)
    return np.array([forecast.chance_by(year) for year in (0, 0.35, 0.8, 1.45, 2.05, 3.3)])


@settings(max_examples=15, deadline=None)
@given(SETTINGS)
def test_more_spares_never_raise_the_chance_to_run_out(drawn):
    stock, sockets, life = asked_of(drawn)
    more = replace(stock, units=stock.units + 1)
    assert np.all(chances(more, sockets, life) <= chances(stock, sockets, life) + 1e-12)


@settings(max_examples=15, deadline=None)
@given(SETTINGS)
def test_better_tests_never_raise_the_chance_to_run_out(drawn):
    stock, sockets, life = asked_of(drawn)
    better = replace(stock, passes_test=1.0)
    assert np.all(chances(better, sockets, life) <= chances(stock, sockets, life) + 1e-12)


@settings(max_examples=15, deadline=None)
@given(SETTINGS)
def test_later_pulls_never_raise_the_chance_to_run_out(drawn):
    # Without early failures: shapes of at least 1.
    stock, sockets, life = asked_of(drawn)
    later = replace(sockets, pull_at_hours=drawn["pull"] + 20)
    # The lattice's own error right at pull ages is of this order.
    assert np.all(chances(stock, later, life) <= chances(stock, sockets, life) + 2e-3)


@settings(max_examples=15, deadline=None)
@given(SETTINGS)
def test_more_positions_never_lower_the_chance_to_run_out(drawn):
    stock, sockets, life = asked_of(drawn)
    more = replace(sockets, hours_on=(*sockets.hours_on, 0.0))
    assert np.all(chances(stock, more, life) >= chances(stock, sockets, life) - 1e-12)


@settings(max_examples=15, deadline=None)
@given(SETTINGS)
def test_more_use_never_lowers_the_chance_to_run_out(drawn):
    asked = asked_of(drawn)
    busier = chances(*asked, replace(YEARLY, shows_per_year=60))
    assert np.all(busier >= chances(*asked) - 1e-12)


@settings(max_examples=15, deadline=None)
@given(SETTINGS)
def test_doubled_use_halves_the_years(drawn):
    asked = asked_of(drawn)
    once = exact(*asked, YEARLY, step_hours=2.0).quantile(0.5)
    twice = exact(*asked, replace(YEARLY, shows_per_year=100), step_hours=2.0).quantile(0.5)
    assert 2 * twice == pytest.approx(once, rel=1e-6, abs=1e-9)


@settings(max_examples=15, deadline=None)
@given(SETTINGS, st.sampled_from([0.25, 3.0, 8.0]))
def test_another_unit_of_hours_changes_nothing(drawn, factor):
    stock, sockets, life = asked_of(drawn)
    scaled = exact(
        stock,
        Sockets(tuple(factor * age for age in sockets.hours_on), factor * drawn["pull"]),
        replace(life, scale_hours=factor * life.scale_hours),
        replace(YEARLY, hours_per_show=factor * 2),
        step_hours=2.0 * factor,
    )
    found = np.array([scaled.chance_by(year) for year in (0, 0.35, 0.8, 1.45, 2.05, 3.3)])
    assert found == pytest.approx(chances(stock, sockets, life), abs=1e-9)


@settings(max_examples=15, deadline=None)
@given(SETTINGS, st.integers(1, 4))
def test_a_set_fails_like_one_part_of_shorter_life(drawn, size):
    # The first of q Weibull lives is Weibull with the scale divided by q^(1/shape).
    stock, sockets, life = asked_of(drawn)
    shorter = replace(life, scale_hours=life.scale_hours / size ** (1 / life.shape))
    as_set = chances(replace(stock, set_size=size), sockets, life)
    assert as_set == pytest.approx(chances(stock, sockets, shorter), abs=1e-9)


@pytest.mark.parametrize(
    ("stock", "sockets", "usage", "step", "said"),
    [
        (Stock(3, shelf_loss_per_year=0.1), Sockets((0.0,), 60.0), HOURLY, 1.0, "losses"),
        (Stock(3), Sockets((0.0,), 60.0, (0.5,)), HOURLY, 1.0, "shares"),
        (Stock(3), Sockets((0.0,), 60.0), Usage(1, 1, booked_hours=(5.0,)), 1.0, "booked"),
        (Stock(3), Sockets((0.0,), 60.0), HOURLY, 7.0, "60 hours"),
        (Stock(3), Sockets((5.0,), 60.0), HOURLY, 2.0, "5 hours"),
        (Stock(3), Sockets((0.0,), 60.0), HOURLY, 0.0, "step"),
    ],
)
def test_what_the_lattice_does_not_know_is_refused_in_a_sentence(stock, sockets, usage, step, said):
    with pytest.raises(DepletionError, match=said):
        exact(stock, sockets, WEARING, usage, step_hours=step)


def test_too_many_draws_are_refused():
    draws = LifeDraws(np.ones(201), np.ones(201))
    with pytest.raises(DepletionError, match="201"):
        exact(Stock(3), Sockets((0.0,), 60.0), draws, HOURLY, step_hours=1.0)


def test_a_lattice_too_long_is_refused():
    forecast = exact(Stock(3), Sockets((0.0,), None), WEARING, HOURLY, step_hours=1e-4)
    with pytest.raises(DepletionError, match="larger step"):
        forecast.chance_by(100)


def test_parts_that_never_die_never_run_out():
    lasting = Life(shape=1.0, scale_hours=math.inf)
    forecast = exact(Stock(1), Sockets((0.0,), None), lasting, HOURLY, step_hours=4.0)
    assert forecast.quantile(0.5) == math.inf
    assert forecast.chance_by(1000) == 0.0


@pytest.mark.parametrize("p", [0.0, 1.0, -0.1, math.nan])
def test_a_quantile_needs_a_chance_between_none_and_all(p):
    forecast = exact(Stock(1), Sockets((0.0,), 60.0), WEARING, HOURLY, step_hours=4.0)
    with pytest.raises(DepletionError, match="quantile"):
        forecast.quantile(p)

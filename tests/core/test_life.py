"""Laws of life and what the log says of them, against published fits and other libraries."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from collection.core.life import Life, LifeDraws, LifeError, fit, kaplan_meier, posterior

# SAS/QC Reliability, as in the censored-fit tests of scipy: 70 diesel fans, hours.
FANS_FAILED = (450, 1150, 1150, 1600, 2070, 2070, 2080, 3100, 3450, 4600, 6100, 8750)
FANS_RUNNING = {
    460: 1, 1560: 1, 1660: 1, 1850: 5, 2030: 3, 2200: 1, 3000: 4, 3200: 1, 3750: 2, 4150: 4,
    4300: 4, 4850: 4, 5000: 3, 6100: 3, 6300: 1, 6450: 2, 6700: 1, 7450: 1, 7800: 2, 8100: 2,
    8200: 1, 8500: 3, 8750: 2, 9400: 1, 9900: 1, 10100: 3, 11500: 1,
}  # fmt: skip

NIST = ([54, 187, 216, 240, 244, 335, 361, 373, 375, 386] + [500] * 10, [True] * 10 + [False] * 10)
REMISSION = [6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35]
RELAPSED = [1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0]

MIXED = Life(shape=2.5, scale_hours=300.0, early_share=0.1, early_hours=4.0, random_per_hour=0.0004)


def test_survival_is_the_product_of_its_three_causes():
    hours = 50.0
    weak = 0.9 + 0.1 * math.exp(-hours / 4.0)
    by_hand = weak * math.exp(-0.0004 * hours) * math.exp(-((hours / 300.0) ** 2.5))
    assert MIXED.survival([hours, 0.0]) == pytest.approx([by_hand, 1.0], rel=1e-12)


@pytest.mark.parametrize("pull", [5.0, 60.0, 500.0])
@pytest.mark.parametrize("life", [MIXED, Life(shape=0.6, scale_hours=90.0)])
def test_a_mean_cycle_is_the_area_under_survival(life, pull):
    # scipy.integrate as reference.
    area, _ = integrate.quad(
        lambda t: float(life.survival(t)), 0, pull, epsabs=1e-11, epsrel=1e-11, limit=200
    )
    assert life.mean_cycle(pull) == pytest.approx(area, rel=1e-8)


def test_a_mean_cycle_of_a_plain_weibull_agrees_with_the_general_way():
    plain = Life(shape=1.7, scale_hours=120.0)
    almost = Life(shape=1.7, scale_hours=120.0, random_per_hour=1e-14)
    for pull in (3.0, 60.0, None):
        assert plain.mean_cycle(pull, set_size=2) == pytest.approx(
            almost.mean_cycle(pull, set_size=2), rel=1e-9
        )


def test_a_part_that_never_wears_is_always_pulled():
    lasting = Life(shape=2.0, scale_hours=math.inf)
    assert lasting.mean_cycle(60.0) == 60.0
    assert lasting.mean_cycle(None) == math.inf
    assert float(lasting.survival(1e9)) == 1.0


def test_weak_parts_alone_die_by_their_own_mean():
    weak = Life(shape=1.0, scale_hours=math.inf, early_share=1.0, early_hours=7.0)
    assert weak.mean_cycle(None) == pytest.approx(7.0, rel=1e-9)


def test_weibull_survival_agrees_with_scipy():
    hours = np.linspace(0, 500, 11)
    ours = Life(shape=1.4, scale_hours=200.0).survival(hours)
    assert ours == pytest.approx(stats.weibull_min.sf(hours, 1.4, scale=200.0), rel=1e-12)


@given(
    shape=st.floats(0.3, 8),
    scale=st.floats(1, 1e4),
    pulls=st.tuples(st.floats(0.5, 2e3), st.floats(0.5, 2e3)),
)
def test_later_pulls_never_shorten_the_cycle(shape, scale, pulls):
    life = Life(shape=shape, scale_hours=scale)
    early, late = (life.mean_cycle(pull) for pull in sorted(pulls))
    assert early <= late * (1 + 1e-12)
    assert late <= max(pulls)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"shape": 0.0}, "shape"),
        ({"scale_hours": -1.0}, "scale"),
        ({"early_share": 1.1}, "early"),
        ({"early_hours": 0.0}, "[Ee]arly"),
        ({"random_per_hour": -1e-9}, "[Rr]andom"),
        ({"shape": math.nan}, "shape"),
    ],
)
def test_a_life_outside_its_range_is_refused(wrong, said):
    with pytest.raises(LifeError, match=said):
        Life(**({"shape": 1.0, "scale_hours": 100.0} | wrong))


@pytest.mark.parametrize("pull", [0.0, -5.0, math.nan])
def test_a_pull_age_is_above_zero(pull):
    with pytest.raises(LifeError, match="pull age"):
        Life(shape=1.0, scale_hours=100.0).mean_cycle(pull)


@pytest.mark.parametrize(("shapes", "scales"), [([], []), ([1.0], [1.0, 2.0]), ([0.0], [5.0])])
def test_draws_that_make_no_sense_are_refused(shapes, scales):
    with pytest.raises(LifeError):
        LifeDraws(shapes, scales)


def test_draws_average_over_their_laws():
    draws = LifeDraws([1.0, 2.0], [100.0, 50.0])
    single = [Life(shape=1.0, scale_hours=100.0), Life(shape=2.0, scale_hours=50.0)]
    mean = np.mean([life.survival(40.0) for life in single])
    assert float(draws.survival(40.0)) == pytest.approx(mean, rel=1e-12)
    assert draws.mean_cycle(60.0) == pytest.approx(
        np.mean([life.mean_cycle(60.0) for life in single]), rel=1e-12
    )


def test_the_handbook_weibull_with_half_of_it_censored():
    # NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3.
    found = fit(*NIST)
    assert found.scale_hours == pytest.approx(606.5280, abs=1e-3)
    assert found.shape == pytest.approx(1.7208, abs=1e-4)
    assert -found.log_likelihood == pytest.approx(75.135, abs=1e-3)
    assert (found.failures, found.lives, found.longest_hours) == (10, 20, 500.0)


def test_seventy_diesel_fans():
    # SAS/QC Reliability, data in scipy's censored-fit tests; thousands of hours.
    running = [hours for hours, count in FANS_RUNNING.items() for _ in range(count)]
    hours = np.array([*FANS_FAILED, *running]) / 1000
    assert len(hours) == 70
    found = fit(hours, [True] * 12 + [False] * 58)
    assert found.shape == pytest.approx(1.0584, abs=1e-4)
    assert found.scale_hours == pytest.approx(26.2968, abs=1e-4)


def test_five_failures_and_two_suspensions():
    # Abernethy, The New Weibull Handbook, C.5.
    found = fit([1500, 2250, 4000, 4300, 7000, 1750, 5000], [1, 1, 1, 1, 1, 0, 0])
    assert found.shape == pytest.approx(2.257, abs=5e-4)
    assert found.scale_hours == pytest.approx(4900.1, abs=0.05)


def test_the_waltons_data():
    # lifelines' documentation, its data set shipped with the package.
    from lifelines.datasets import load_waltons

    data = load_waltons()
    found = fit(data["T"].to_numpy(), data["E"].to_numpy())
    assert found.shape == pytest.approx(3.450510, abs=1e-5)
    assert found.scale_hours == pytest.approx(55.73308, abs=1e-4)
    assert found.log_likelihood == pytest.approx(-672.06219, abs=1e-4)


def test_a_truncated_fit_agrees_with_lifelines():
    from lifelines import WeibullFitter

    rng = np.random.default_rng(5)
    entry = rng.uniform(0, 80, 400)
    hours = 150 * rng.weibull(1.8, 400)
    seen = hours > entry
    died = hours < 180
    lives = (np.minimum(hours, 180)[seen], died[seen])
    entry = np.minimum(entry[seen], lives[0] - 1e-6)
    ours = fit(*lives, entry_hours=entry)
    theirs = WeibullFitter().fit(*lives, entry=entry)
    assert ours.shape == pytest.approx(theirs.rho_, rel=1e-3)
    assert ours.scale_hours == pytest.approx(theirs.lambda_, rel=1e-3)
    # The best of both is at least as likely: lifelines stops at its own tolerance.
    assert ours.log_likelihood >= theirs.log_likelihood_ - 1e-6


def test_an_uncensored_fit_agrees_with_scipy():
    hours = stats.weibull_min.rvs(1.3, scale=70, size=60, random_state=3)
    shape, _, scale = stats.weibull_min.fit(hours, floc=0)
    found = fit(hours, [True] * 60)
    assert found.shape == pytest.approx(shape, rel=1e-4)
    assert found.scale_hours == pytest.approx(scale, rel=1e-4)


def test_interval_ends_lose_half_the_chi_square_point_of_likelihood():
    # scipy.stats as reference: the profile is found again by brute force.
    hours, failed = np.array(NIST[0], float), np.array(NIST[1])
    found = fit(hours, failed)

    def likelihood(shape: np.ndarray, scale: np.ndarray) -> np.ndarray:
        dead = stats.weibull_min.logpdf(hours[failed][:, None], shape, scale=scale).sum(axis=0)
        alive = stats.weibull_min.logsf(hours[~failed][:, None], shape, scale=scale).sum(axis=0)
        return dead + alive

    drop = stats.chi2.ppf(0.95, 1) / 2
    for end in found.shape_interval:
        scales = np.geomspace(100, 20000, 40001)
        best = likelihood(np.full_like(scales, end), scales).max()
        assert found.log_likelihood - best == pytest.approx(drop, abs=1e-4)
    for end in found.scale_interval:
        shapes = np.geomspace(0.2, 10, 40001)
        best = likelihood(shapes, np.full_like(shapes, end)).max()
        assert found.log_likelihood - best == pytest.approx(drop, abs=1e-4)


def test_intervals_hold_the_truth_about_as_often_as_they_say():
    rng = np.random.default_rng(11)
    held = 0
    for _ in range(120):
        hours = 100 * rng.weibull(1.5, 25)
        low, high = fit(np.minimum(hours, 110), hours < 110).shape_interval
        held += low <= 1.5 <= high
    assert 0.88 <= held / 120 <= 0.99


def test_one_failure_leaves_an_end_of_the_interval_open():
    found = fit([20, 60, 60, 60], [True, False, False, False])
    assert found.failures == 1
    assert found.scale_interval[1] == math.inf or found.scale_interval[1] > 1000


@settings(max_examples=25)
@given(unit=st.floats(1e-3, 1e4))
def test_another_unit_of_time_only_scales_the_fit(unit):
    hours, failed = NIST
    plain, scaled = fit(hours, failed), fit(np.array(hours) * unit, failed)
    assert scaled.shape == pytest.approx(plain.shape, rel=1e-9)
    assert scaled.scale_hours == pytest.approx(plain.scale_hours * unit, rel=1e-9)


@pytest.mark.parametrize(
    ("hours", "failed", "said"),
    [
        ([60, 60], [False, False], "Nothing in the log has died"),
        ([0, 60], [True, True], "zero hours"),
        ([50, 50, 50], [True, True, True], "one age"),
        ([50, 50, 90], [True, True, False], "one age"),
        ([50, 30, 20], [True, False, False], "one age"),
        ([], [], "no life"),
        ([50, math.nan], [True, True], "Life 2"),
        ([50, -3], [True, True], "Life 2"),
        ([50, 60], [True], "every life"),
        ([50, 60], [1, 2], "neither died"),
        (["a", "b"], [True, True], "not all numbers"),
    ],
)
def test_a_log_that_fits_nothing_is_refused(hours, failed, said):
    with pytest.raises(LifeError, match=said):
        fit(hours, failed)


def test_a_life_that_ends_before_the_log_began_is_refused():
    with pytest.raises(LifeError, match="Life 2"):
        fit([50, 60], [True, True], entry_hours=[0, 70])


def test_the_remission_curve():
    # Freireich 1963 as tabled in Kalbfleisch & Prentice (from memory).
    curve = kaplan_meier(REMISSION, RELAPSED)
    assert curve.hours.tolist() == [6, 7, 10, 13, 16, 22, 23]
    assert curve.survival == pytest.approx(
        [0.8571, 0.8067, 0.7529, 0.6902, 0.6275, 0.5378, 0.4482], abs=5e-5
    )
    assert curve.standard_error[[0, -1]] == pytest.approx([0.0764, 0.1346], abs=5e-5)


def test_the_remission_curve_and_its_limits_agree_with_lifelines():
    from lifelines import KaplanMeierFitter

    ours = kaplan_meier(REMISSION, RELAPSED)
    theirs = KaplanMeierFitter().fit(REMISSION, RELAPSED)
    limits = theirs.confidence_interval_survival_function_.loc[ours.hours].to_numpy()
    assert ours.survival == pytest.approx(theirs.predict(ours.hours).to_numpy(), rel=1e-9)
    assert ours.lower == pytest.approx(limits[:, 0], rel=1e-6)
    assert ours.upper == pytest.approx(limits[:, 1], rel=1e-6)


def test_a_curve_of_parts_already_aged_agrees_with_lifelines():
    from lifelines import KaplanMeierFitter

    entry = [0, 0, 4, 8, 0, 12, 3, 1]
    hours = [5, 9, 11, 14, 14, 20, 22, 25]
    failed = [1, 1, 0, 1, 0, 1, 0, 1]
    ours = kaplan_meier(hours, failed, entry_hours=entry)
    theirs = KaplanMeierFitter().fit(hours, failed, entry=entry)
    assert ours.survival == pytest.approx(theirs.predict(ours.hours).to_numpy(), abs=1e-9)


def test_no_limits_are_given_where_the_curve_has_reached_zero():
    curve = kaplan_meier([1, 2, 2], [True, True, True])
    assert curve.survival.tolist() == [pytest.approx(2 / 3), 0.0]
    assert np.isnan([curve.standard_error[-1], curve.lower[-1], curve.upper[-1]]).all()
    assert np.isfinite([curve.standard_error[0], curve.lower[0], curve.upper[0]]).all()


def test_a_curve_without_deaths_has_no_steps():
    assert kaplan_meier([60, 60], [False, False]).hours.size == 0


def failed_by(draws: LifeDraws, hours: float) -> np.ndarray:
    return -np.expm1(-draws.cumulative_hazard(hours))


def test_forty_pulls_at_sixty_hours_without_a_death():
    # Worked by hand: L ~ Gamma(1/2, 40), that is chi-square(1) / 80, and F = 1 - exp(-L).
    draws = posterior([60] * 40, [False] * 40, pull_at_hours=60, draws=100_000, seed=4)
    found = np.quantile(failed_by(draws, 60), [0.95, 0.975])
    assert found == pytest.approx([0.047, 0.061], abs=0.002)
    by_hand = -np.expm1(-stats.chi2.ppf([0.95, 0.975], 1) / 80)
    assert found == pytest.approx(by_hand, abs=0.001)


def test_without_deaths_the_shape_stays_near_its_prior():
    draws = posterior([60] * 40, [False] * 40, pull_at_hours=60, draws=50_000, seed=4)
    assert np.median(draws.shapes) == pytest.approx(1.5, rel=0.02)
    assert np.log(draws.shapes).std() == pytest.approx(0.5, rel=0.02)


def test_with_many_deaths_the_posterior_finds_the_truth():
    hours = stats.weibull_min.rvs(2.0, scale=100, size=3000, random_state=1)
    draws = posterior(np.minimum(hours, 120), hours < 120, pull_at_hours=120, draws=2000, seed=2)
    assert np.median(draws.shapes) == pytest.approx(2.0, rel=0.04)
    assert np.median(draws.scales) == pytest.approx(100.0, rel=0.03)


def test_the_posterior_agrees_with_weights_on_a_grid():
    # A second opinion: likelihood times prior on a plain grid of (shape, hazard at the pull).
    hours, failed = [12.0, 40.0, 55.0, 60.0, 60.0, 60.0], [True, True, False] + [False] * 3
    draws = posterior(hours, failed, pull_at_hours=60, draws=100_000, seed=8)
    shapes = np.exp(math.log(1.5) + 0.5 * np.linspace(-4.5, 4.5, 301))[:, None]
    hazards = np.geomspace(1e-4, 20, 1500)[None, :]
    weights = stats.norm.logpdf(np.log(shapes), math.log(1.5), 0.5) + 0.5 * np.log(hazards)
    for age, died in zip(hours, failed, strict=True):
        weights = weights - hazards * (age / 60) ** shapes
        if died:
            weights = weights + np.log(hazards * shapes) + (shapes - 1) * math.log(age / 60)
    weights = np.exp(weights - weights.max())
    weights /= weights.sum()
    assert np.log(draws.shapes).mean() == pytest.approx((weights * np.log(shapes)).sum(), abs=0.01)
    expected = (weights * -np.expm1(-hazards)).sum()
    assert failed_by(draws, 60).mean() == pytest.approx(expected, abs=0.003)


def test_parts_already_aged_count_only_from_when_they_were_watched():
    watched = posterior(
        [60] * 40, [False] * 40, pull_at_hours=60, draws=50_000, seed=4, entry_hours=[30] * 40
    )
    fresh = posterior([60] * 40, [False] * 40, pull_at_hours=60, draws=50_000, seed=4)
    assert np.quantile(failed_by(watched, 60), 0.95) > np.quantile(failed_by(fresh, 60), 0.95)


def test_draws_repeat_with_their_seed_and_know_their_log():
    asked = {"pull_at_hours": 60, "draws": 50}
    one, same, other = (posterior([60] * 4, [0, 0, 0, 0], seed=seed, **asked) for seed in (1, 1, 2))
    assert np.array_equal(one.scales, same.scales)
    assert not np.array_equal(one.scales, other.scales)
    assert (one.failures, one.lives, one.longest_hours, len(one)) == (0, 4, 60.0, 50)


def test_a_tube_fitted_tonight_does_not_upset_the_posterior():
    draws = posterior([60, 60, 0], [False] * 3, pull_at_hours=60, draws=10, seed=1)
    assert np.isfinite(draws.scales).all()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"pull_at_hours": 0}, "pull age"),
        ({"pull_at_hours": math.inf}, "finite"),
        ({"draws": 0}, "draw"),
        ({"hours": [0, 0]}, "long enough"),
    ],
)
def test_a_posterior_without_sense_is_refused(wrong, said):
    asked = {"hours": [60, 60], "pull_at_hours": 60, "draws": 5} | wrong
    with pytest.raises(LifeError, match=said):
        posterior(asked.pop("hours"), [False, False], seed=1, **asked)

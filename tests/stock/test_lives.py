"""Lives from the log: hours, censoring, late entry, and which law they bear out."""

from datetime import timedelta

import numpy as np
import pytest
from django.utils import timezone

from collection.core.life import Life, LifeDraws, WeibullFit
from collection.ledger.actions import withdraw
from collection.ledger.telling import Telling
from collection.stock import actions, queries
from collection.stock.lives import NoLaw, PartLife, law_of, lives_of
from tests.stock.shelves import Desk, a_desk, a_show, heads, output_tubes, pairs

pytestmark = pytest.mark.django_db


def _lives(desk: Desk, clock: str = "ht") -> list[PartLife]:
    shelf = queries.shelf(desk.member.collection)
    return lives_of(shelf.parts, shelf.fittings, shelf.shows, clock=clock)


def _fitted(**given: object) -> tuple[Desk, object]:
    desk = a_desk()
    heads(desk, "A-007")
    lot = pairs(desk, output_tubes(desk), 10)
    part = actions.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output", **given)
    return desk, part


def test_a_fitted_set_ages_by_the_shows_of_its_piece_since_it_was_issued():
    """Two shows of 1.5 h with A-007 after the set went in; one before and one elsewhere."""
    desk = a_desk()
    heads(desk, "A-007", "A-012")
    lot = pairs(desk, output_tubes(desk), 10)
    a_show(desk, "W-001", days_ago=9, pieces=("A-007",))
    with_set = {"lot": lot, "units": 1, "piece": "A-007", "position": "output"}
    actions.issue(**desk.who, **with_set, telling=_days_ago(8))
    a_show(desk, "W-002", days_ago=3, pieces=("A-007",))
    a_show(desk, "W-003", days_ago=2, pieces=("A-012",))
    a_show(desk, "W-004", days_ago=1, pieces=("A-007", "A-012"))
    (life,) = _lives(desk)
    assert (life.hours, life.died, life.tubes) == (3.0, False, 2)
    assert _lives(desk, "heater")[0].hours == 6.0
    assert _lives(desk, "shows")[0].hours == 2.0


def _days_ago(days: int) -> Telling:
    at = (timezone.now() - timedelta(days=days)).replace(microsecond=0)
    return Telling(happened=at.isoformat())


def test_a_pulled_set_is_a_censored_life_and_a_dead_one_an_ended_life():
    desk, part = _fitted()
    actions.pull(**desk.who, part=part, hours=60, grade="show")
    (life,) = _lives(desk)
    assert (life.hours, life.died) == (60, False)
    desk, part = _fitted()
    actions.die(**desk.who, part=part, hours=41, how="red plate")
    (life,) = _lives(desk)
    assert (life.hours, life.died) == (41, True)


def test_a_set_that_brought_hours_along_is_known_from_then_on_only():
    desk, part = _fitted(hours_before=200)
    actions.pull(**desk.who, part=part, hours=260, grade="show")
    (life,) = _lives(desk)
    assert (life.entry_hours, life.hours) == (200, 260)


def test_a_withdrawn_death_is_no_death():
    desk, part = _fitted()
    died = actions.die(**desk.who, part=part, hours=41, how="red plate")
    withdraw(**desk.who, event=died, because="it was the fuse")
    (life,) = _lives(desk)
    assert not life.died


def _life(hours: float, died: bool, tubes: int = 1) -> PartLife:
    return PartLife("S-1", hours, 0.0, died, tubes, "", "", 0)


def test_forty_pulls_without_a_death_leave_much_open():
    """40 pulls at 60 h, none died: the 95 % quantile of F(60) is 0.0469.

    The cumulative hazard at 60 h is Gamma(1/2, 40), so twice 40 of it is chi-square with one
    degree of freedom, 3.841 at 95 % (any chi-square table): 1 - exp(-3.841 / 80).
    """
    law = law_of([_life(60, False)] * 40, None, pull_at_hours=60, seed=1)
    assert isinstance(law.life, LifeDraws)
    failed = 1 - _survival_at(law.life, 60)
    assert sorted(failed)[int(0.95 * len(failed))] == pytest.approx(0.0469, abs=0.005)


def _survival_at(life: LifeDraws, hours: float):
    return np.exp(-life.cumulative_hazard(hours))


def test_five_deaths_are_fitted():
    """Fail 1500 2250 4000 4300 7000, censored 1750 5000: 2.257, 4900.1.

    Source: R. B. Abernethy, The New Weibull Handbook, appendix C.5.
    """
    dead = [_life(h, True) for h in (1500, 2250, 4000, 4300, 7000)]
    law = law_of([*dead, _life(1750, False), _life(5000, False)], None, pull_at_hours=60, seed=1)
    assert isinstance(law.observed, WeibullFit)
    assert isinstance(law.life, Life)
    assert law.observed.shape == pytest.approx(2.257, abs=1e-3)
    assert law.observed.scale_hours == pytest.approx(4900.1, abs=0.1)


def test_a_dead_pair_is_one_death_among_two_tubes():
    law = law_of([_life(60, True, tubes=2)] * 2, None, pull_at_hours=60, seed=1)
    assert (law.observed.failures, law.observed.lives) == (2, 4)


def test_deaths_at_one_age_fit_no_law_but_still_answer():
    law = law_of([_life(60, True)] * 6, None, pull_at_hours=60, seed=1)
    assert isinstance(law.life, LifeDraws)


def test_nothing_logged_lasts_to_its_pull_and_says_nothing_of_failing():
    law = law_of([], None, pull_at_hours=60, seed=1)
    assert law.life.mean_cycle(60) == 60
    with pytest.raises(NoLaw):
        law_of([], None, pull_at_hours=None, seed=1)

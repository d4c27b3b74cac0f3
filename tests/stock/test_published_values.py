"""Published check values by the page's own way: book, lives and positions, law, forecast.

Lives go in as parts fitted, pulled and dead; spares as lots; use as planned hours; the figures
come out of `Prospect`, as every stock page asks for them.
"""

import math

import pytest

from collection.catalogue.actions import add_circuit, add_piece
from collection.ledger.actions import open_book
from collection.stock import actions, queries
from collection.stock.asked import Asked
from collection.stock.forecast import Prospect
from collection.stock.lifetimes.curves import groups
from registry import clock
from tests.core.test_life import FANS_FAILED, FANS_RUNNING
from tests.stock.shelves import Desk, a_desk, a_show

pytestmark = pytest.mark.django_db


def _amplifiers(*codes: str) -> Desk:
    """Amplifiers with one single tube each."""
    desk = a_desk()
    places = ({"name": "V4", "fits": ["EL34"]},)
    circuit = add_circuit(collection=desk.member.collection, name="HB", positions=places)
    for code in codes:
        add_piece(**desk.who, code=code, kind="amplifier", circuit=circuit)
    return desk


def _spares(desk: Desk, units: int, *, pull: int | None, **assumed: float):
    kind = actions.add_type(collection=desk.member.collection, code="EL34")
    lot = actions.add_lot(**desk.who, type=kind)
    if units:
        actions.receive(**desk.who, lot=lot, units=units)
    actions.choose_pull(**desk.who, type=kind, pull_hours=pull, because="as published")
    actions.set_outlook(**desk.who, type=kind, shows_per_year=0, hours_per_show=1, **assumed)
    return lot


def _prospect(desk: Desk, months: tuple[float, ...] = ()) -> Prospect:
    stock = queries.shelf(desk.member.collection).stock("EL34")
    today = clock.today(desk.member.collection.zone_info)
    return Prospect(stock, today=today, booked_hours=months)


def _played(desk: Desk, hours: float) -> Asked:
    """The question as the page asks it, with so many hours on in the coming year."""
    return _prospect(desk, (hours / 12,) * 12).ask()


# -- lives -----------------------------------------------------------------------------------
def _log(desk: Desk, lot, lives) -> None:
    """Single tubes fitted one after the other, each until it died or was taken out."""
    where = {"lot": lot, "units": 1, "piece": "A-000", "position": "V4"}
    with open_book(desk.member.collection, desk.member):
        for hours, died in lives:
            part = actions.issue(**desk.who, **where)
            if died:
                actions.die(**desk.who, part=part, hours=hours, how="hum")
            else:
                actions.pull(**desk.who, part=part, hours=hours, grade="bench")


def test_seventy_diesel_fans_come_out_of_the_book():
    """Shape 1.0584, scale 26.2968 thousand hours.

    Source: SAS/QC Reliability, the data also in scipy's tests of censored fits.
    """
    desk = _amplifiers("A-000")
    lot = _spares(desk, 80, pull=60)
    running = [(hours, False) for hours, many in FANS_RUNNING.items() for _ in range(many)]
    _log(desk, lot, [*((hours, True) for hours in FANS_FAILED), *running])
    found = _played(desk, 100).law.observed
    assert (found.failures, found.lives) == (12, 70)
    assert found.shape == pytest.approx(1.0584, abs=1e-4)
    assert found.scale_hours == pytest.approx(26296.8, abs=0.1)


def test_forty_pulls_leave_open_what_chi_square_says():
    """97.5 %: 5.024 of chi-square with one degree of freedom (any table): 1 - exp(-5.024 / 80)."""
    desk = _amplifiers("A-000")
    lot = _spares(desk, 80, pull=60)
    _log(desk, lot, [(60, False)] * 40)
    (group,) = groups({"all": _prospect(desk).lives}, pull_at_hours=60, unit="h")
    dies = sorted(1 - math.exp(-hazard) for hazard in group.drawn.cumulative_hazard(60))
    assert dies[int(0.975 * len(dies))] == pytest.approx(0.0609, abs=0.008)  # 2000 draws


# -- spares ----------------------------------------------------------------------------------
def test_three_sockets_and_ten_spares_are_poisson():
    """Exponential lives of 100 h, 3 x 400 h: P(demand <= 10) = 0.34722942, Poisson of mean 12."""
    desk = _amplifiers("A-000", "A-001", "A-002")
    _spares(desk, 10, pull=None, assumed_shape=1.0, assumed_scale_hours=100.0)
    assert _played(desk, 400).figures.chance_by(1) == pytest.approx(1 - 0.34722942, abs=0.02)


@pytest.mark.parametrize(
    ("spares", "hours", "chance"),
    [(0, 30, 0.0951625820), (2, 150, 0.2691305550), (4, 290, 0.5676608358),
     (5, 345, 0.6001796996), (6, 395, 0.5834742295)],
)  # fmt: skip
def test_the_demand_after_the_last_spare_comes_as_in_closed_form(spares, hours, chance):
    """Exponential lives of 300 h pulled at 60 h, one socket: a closed form, worked out by hand."""
    desk = _amplifiers("A-000")
    _spares(desk, spares, pull=60, assumed_shape=1.0, assumed_scale_hours=300.0)
    assert _played(desk, hours).figures.chance_by(1) == pytest.approx(chance, abs=0.02)


@pytest.mark.parametrize(("spares", "enough"), [(12, 0.93620), (11, 0.88808)])
def test_pooled_spares_of_a_textbook(spares, enough):
    """Three units on for 1300, 1500 and 1200 h, .002 deaths an hour: 12 pooled give .90.

    Source: K. S. Trivedi, Probability and Statistics, 2nd ed., ch. 6 problem 2.
    """
    desk = _amplifiers("A-000", "A-001", "A-002")
    _spares(desk, spares, pull=None, assumed_shape=1.0, assumed_scale_hours=500.0)
    plays = {"A-000": 13, "A-001": 15, "A-002": 12}
    for number in range(15):
        on = tuple(code for code, many in plays.items() if number < many)
        a_show(desk, f"W-{number}", days_ago=2 + number, pieces=on)
    assert 1 - _played(desk, 1500).figures.chance_by(1) == pytest.approx(enough, abs=0.01)


def test_the_hand_rule_of_matched_spares_with_a_share_that_fails():
    """40 sealed of which 8 in 10 pass, pulled at 60 h, one socket, 96 h a year: 20 years."""
    desk = _amplifiers("A-000")
    kind = _spares(desk, 40, pull=60, passes_test=0.8).type
    actions.set_outlook(**desk.who, type=kind, shows_per_year=96, hours_per_show=1)
    assert _prospect(desk).ask().hand_rule_years == pytest.approx(20.0)

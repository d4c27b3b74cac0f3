"""Published check values by the page's own way: ledger, lives, fit, page.

The values are hours of parts written into a book as pulls and deaths, read back as lives.
"""

import re

import pytest

from collection.stock import actions, queries
from collection.stock.lifetimes.curves import Group
from collection.stock.lives import lives_of
from collection.stock.models import Outlook
from tests.builders import client_of
from tests.stock.shelves import Desk, a_desk, a_show, heads, output_tubes

pytestmark = pytest.mark.django_db


def _logged(*rows: tuple[float, bool], brand: str = "Ostrow", desk: Desk | None = None) -> Desk:
    """A book in which single tubes were fitted and died or were pulled at these hours."""
    if desk is None:
        desk = a_desk()
        heads(desk, "A-007")
    kind = output_tubes(desk, set_size=1)
    lot = actions.add_lot(**desk.who, type=kind, brand=brand)
    actions.receive(**desk.who, lot=lot, units=len(rows) + 20)
    for hours, died in rows:
        part = actions.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output")
        if died:
            actions.die(**desk.who, part=part, hours=hours, how="hum")
        else:
            actions.pull(**desk.who, part=part, hours=hours, grade="show")
    return desk


def _group(desk: Desk) -> Group:
    shelf = queries.shelf(desk.member.collection)
    lives = lives_of(shelf.parts, shelf.fittings, shelf.shows, clock="ht")
    return Group("all", tuple(lives), None, "h")


def _text(desk: Desk, **query: str) -> str:
    page = client_of(desk.member).get(desk.url("type/EL34/lives/"), query)
    assert page.status_code == 200
    plain = re.sub(r"<[^>]+>", " ", page.content.decode())
    return re.sub(r"\s+", " ", plain).replace("&#x27;", "'")


def test_the_handbook_s_censored_weibull_comes_out_of_the_book():
    """10 failed, 10 still good at 500 h: shape 1.7208, scale 606.5280.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3.
    """
    failed = (54, 187, 216, 240, 244, 335, 361, 373, 375, 386)
    desk = _logged(*((h, True) for h in failed), *[(500, False)] * 10)
    found = _group(desk).fitted
    assert found.scale_hours == pytest.approx(606.5280, abs=1e-3)
    assert found.shape == pytest.approx(1.7208, abs=1e-4)
    assert found.log_likelihood == pytest.approx(-75.135, abs=1e-3)
    text = _text(desk)
    assert "Weibull shape 1.721" in text
    assert "scale 606.53 h" in text


def test_deaths_and_pulls_of_a_handbook_come_out_of_the_book():
    """Fail 1500 2250 4000 4300 7000, censored 1750 5000: 2.257, 4900.1.

    Source: R. B. Abernethy, The New Weibull Handbook, appendix C.5.
    """
    dead = [(h, True) for h in (1500, 2250, 4000, 4300, 7000)]
    found = _group(_logged(*dead, (1750, False), (5000, False))).fitted
    assert (found.shape, found.scale_hours) == (
        pytest.approx(2.257, abs=1e-3), pytest.approx(4900.1, abs=0.1),
    )  # fmt: skip


def test_the_steps_of_a_published_trial_come_out_of_the_book():
    """.8571 .8067 .7529 .6902 .6275 .5378 .4482 at 6 7 10 13 16 22 23.

    Source: E. J. Freireich et al. (1963), as tabled by J. D. Kalbfleisch and R. L. Prentice, The
    Statistical Analysis of Failure Time Data (from memory; the data are in lifelines).
    """
    dead = (6, 6, 6, 7, 10, 13, 16, 22, 23)
    kept = (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)
    desk = _logged(*((h, True) for h in dead), *((h, False) for h in kept))
    curve = _group(desk).curve
    assert curve.hours.tolist() == [6, 7, 10, 13, 16, 22, 23]
    expected = [0.8571, 0.8067, 0.7529, 0.6902, 0.6275, 0.5378, 0.4482]
    assert curve.survival.tolist() == pytest.approx(expected, abs=1e-4)
    assert curve.standard_error[0] == pytest.approx(0.0764, abs=1e-4)
    assert curve.standard_error[-1] == pytest.approx(0.1346, abs=1e-4)
    text = _text(desk)
    for alive in ("85.71", "80.67", "75.29", "69.02", "62.75", "53.78", "44.82"):
        assert f" {alive} " in text


def test_forty_pulls_without_a_death_give_an_upper_bound_and_say_so():
    """Twice 40 times the hazard at 60 h is chi-square with one degree of freedom, 3.841 at 95 %
    (any chi-square table): 1 - exp(-3.841 / 80) = 0.0469."""
    desk = _logged(*[(60, False)] * 40)
    _, bound = _group(desk).odds
    assert bound == pytest.approx(0.0469, abs=0.002 + 0.003)  # 2000 draws of it
    text = _text(desk)
    assert "None of 40 has died, so only an upper bound can be given" in text
    assert re.search(r"at most 4\.[4-9] in 100 die before 60 h", text)
    assert "Kaplan" not in text


def test_below_five_deaths_no_law_is_fitted_and_from_five_on_one_is():
    ages = (80, 120, 150, 210)
    four = _logged(*((h, True) for h in ages), (230, False))
    assert _group(four).fitted is None
    assert _group(four).curve is None
    assert "Fewer than five deaths fit no law." in _text(four)
    five = _logged(*((h, True) for h in (*ages, 260)), (230, False))
    assert _group(five).fitted is not None
    assert "Kaplan–Meier" in _text(five)


def test_an_empty_log_says_what_to_record():
    desk = a_desk()
    output_tubes(desk)
    text = _text(desk)
    assert "No life is logged yet" in text
    assert "issue each tube to its piece and position" in text


def test_a_part_that_brought_hours_enters_late():
    desk = _logged((60, False))
    lot = queries.shelf(desk.member.collection).lots[0].lot
    who = {**desk.who, "lot": lot, "units": 1, "piece": "A-007", "position": "output"}
    part = actions.issue(**who, hours_before=200)
    actions.pull(**desk.who, part=part, hours=260, grade="show")
    assert "1 brought hours along and count from then on only" in _text(desk)
    assert _group(desk).hours == 120


# -- makers apart ----------------------------------------------------------------------------
def _two_makers() -> Desk:
    """A good maker of which forty spares are left, and a bad one of which twenty are."""
    good = _logged(*[(200, False)] * 6, *[(210 + h, True) for h in range(5)], brand="Ostrow")
    desk = _logged(*[(20 + h, True) for h in range(8)], brand="Tidewell", desk=good)
    lot = queries.shelf(desk.member.collection).lots[0].lot
    actions.receive(**desk.who, lot=lot, units=20)
    return desk


def test_makers_are_kept_apart_until_somebody_pools_them():
    desk = _two_makers()
    text = _text(desk)
    assert "Ostrow 11 watched, 5 died" in text
    assert "Tidewell 8 watched, 8 died" in text
    assert "all together 19 watched, 13 died" in _text(desk, lives_from="all")
    assert "8 of Tidewell are kept apart" in text


def test_the_forecast_takes_the_maker_of_most_spares_until_told_otherwise():
    desk = _two_makers()
    a_show(desk, "W-001", days_ago=3, pieces=("A-007",))
    kind = output_tubes(desk)
    actions.choose_pull(**desk.who, type=kind, pull_hours=60, because="as before")
    client, page = client_of(desk.member), desk.url("type/EL34/")
    apart = client.get(page).content.decode()
    assert "Fitted to 5 deaths among 11 lives" in apart
    assert "8 of Tidewell are kept apart" in apart
    assert client.post(f"{page}lives/", {"lives_from": "all"}).status_code == 302
    assert Outlook.objects.get().lives_from == "all"
    assert "Fitted to 13 deaths among 19 lives" in client.get(page).content.decode()


def test_the_page_asks_the_same_number_of_queries_for_more_lives(
    django_assert_num_queries, django_assert_max_num_queries
):
    desk = _logged((60, False))
    client, address = client_of(desk.member), desk.url("type/EL34/lives/")
    client.get(address)
    with django_assert_max_num_queries(16) as few:
        client.get(address)
    _logged(*[(70, True)] * 6, desk=desk)
    with django_assert_num_queries(len(few)):
        client.get(address)

"""Sums, limits, terms and hours of notice, worked by hand and against a brute force."""

from datetime import UTC, date, datetime, timedelta
from itertools import combinations
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core import insurance
from collection.core.insurance import Item, Night, lighten, load, night, nights_unsaid

AMP, STEEL, ECHO = Item("A-007", 620000, "EUR"), Item("G-001", 980000, "EUR"), Item("E-002", None)
HIRED = Item("H-001", 100000, "GBP")


def test_different_currencies_are_never_added_up():
    together = load([AMP, HIRED, STEEL], currency="EUR", limit_minor=1600000)
    assert dict(together.sums) == {"EUR": 1600000, "GBP": 100000}
    assert (together.sum_minor, together.over_minor) == (1600000, 0)  # just met is not over
    assert together.others == (("GBP", 100000),)


def test_what_nobody_valued_is_in_no_sum_and_is_named():
    assert load([AMP, ECHO], currency="EUR", limit_minor=None).unvalued == ("E-002",)


def test_over_the_limit_says_what_would_bring_it_under():
    over = load([AMP, STEEL, HIRED], currency="EUR", limit_minor=1500000)
    assert (over.over_minor, over.remedy) == (100000, ("A-007",))


def test_without_a_limit_nothing_is_over():
    assert load([AMP], currency="EUR", limit_minor=None).remedy == ()


@settings(max_examples=60)
@given(st.lists(st.integers(1, 40), max_size=7), st.integers(0, 150))
def test_no_fewer_pieces_would_do(values, over):
    items = [Item(f"A-{n:03}", value, "EUR") for n, value in enumerate(values)]
    taken = lighten(items, over)
    by_code = {item.code: item.minor for item in items}
    enough = [
        len(some)
        for count in range(len(values) + 1)
        for some in combinations(values, count)
        if sum(some) >= over
    ]
    if enough:
        assert len(taken) == min(enough)
        assert sum(by_code[code] for code in taken) >= over
    else:
        assert set(taken) == set(by_code)


@pytest.mark.parametrize(
    ("valued", "due"), [("2023-11-24", False), ("2023-11-23", True), ("2024-02-29", False)]
)
def test_a_value_is_looked_at_again_after_three_years(valued, due):
    # Source: eila.org, insurance of instruments: value reviewed every three years.
    assert insurance.review_due(date.fromisoformat(valued), date(2026, 11, 24)) is due


def test_a_value_without_a_day_is_old():
    assert insurance.review_due(None, date(2026, 11, 24))


def test_a_night_says_which_terms_were_broken_and_which_nobody_wrote_down():
    seen = night(["attended", "locked", "alarm"], {"locked": "yes", "attended": "no"})
    assert seen == Night(broken=("attended",), unsaid=("alarm",))
    assert night(["locked"], {"locked": "yes", "alarm": "no"}).kept


def test_nights_that_no_stay_covers_are_counted():
    monday = date(2026, 11, 23)
    stays = [(monday, monday + timedelta(days=1)), (monday + timedelta(days=3), None)]
    gaps = nights_unsaid(monday, monday + timedelta(days=6), stays)
    assert gaps == (monday + timedelta(days=1), monday + timedelta(days=2))


def test_a_stay_that_leaves_on_its_evening_covers_no_night():
    monday = date(2026, 11, 23)
    assert nights_unsaid(monday, monday + timedelta(days=1), [(monday, monday)]) == (monday,)


def test_stops_outside_of_territory_or_period_are_named():
    stops = [(date(2026, 12, 12), "FR"), (date(2026, 11, 24), "NO"), (date(2026, 11, 25), "")]
    period = {"begins": date(2026, 1, 1), "ends": date(2026, 11, 30)}
    abroad, late = insurance.outside(stops, territory=["NO"], **period)
    assert abroad == ((date(2026, 11, 25), ""), (date(2026, 12, 12), "FR"))
    assert late == ((date(2026, 12, 12), "FR"),)
    assert insurance.outside(stops, territory=[], **period)[0] == ()


def test_hours_of_notice_are_hours_of_the_clock():
    # In Oslo summer time ends on 25 October 2026 at 03:00: that night has an hour more.
    oslo = ZoneInfo("Europe/Oslo")
    known = datetime(2026, 10, 24, 14, 20, tzinfo=oslo)
    assert f"{insurance.notice_until(known, 24):%d %H:%M}" == "25 13:20"


@pytest.mark.parametrize(
    ("until", "words"),
    [
        ("2026-11-25T14:20", "by 14:20 tomorrow"),
        ("2026-11-24T18:00", "by 18:00 today"),
        ("2026-11-27T09:00", "by 09:00 on Fri 27 Nov"),
        ("2026-11-24T09:00", "by 09:00 today (past)"),
    ],
)
def test_when_to_ring_is_said_as_people_say_it(until, words):
    now = datetime(2026, 11, 24, 15, 20, tzinfo=UTC)
    assert insurance.by_when(datetime.fromisoformat(until).replace(tzinfo=UTC), now) == words

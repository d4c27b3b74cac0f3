"""Planned tours, alarms, grades with their reserve, and what the spread is made of."""

import re
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from collection.catalogue.actions import add_circuit, add_piece
from collection.custody.actions import add_place
from collection.road import actions as road
from collection.stock import actions, queries
from collection.stock.alarms import alarms_of
from collection.stock.asked import chance_alone, drivers, outcome
from collection.stock.bookings import Booking, shows_by_month
from collection.stock.endangered import tour_chances
from collection.stock.forecast import Prospect
from collection.stock.use import use_of
from registry import clock
from tests.builders import client_of
from tests.stock.shelves import (
    PAIR,
    Desk,
    a_desk,
    a_show,
    heads,
    output_tubes,
    pairs,
    the_worked_case,
)

TODAY = date(2026, 11, 24)
pytestmark = pytest.mark.django_db


def _prospect(desk: Desk, *bookings: Booking) -> Prospect:
    shelf = queries.shelf(desk.member.collection)
    return Prospect(shelf.stock("EL34"), today=TODAY, bookings=bookings)


def _tour(name: str, *after: int) -> Booking:
    return Booking(name, name, tuple(TODAY + timedelta(days=n) for n in after))


def _text(desk: Desk, rest: str) -> str:
    page = client_of(desk.member).get(desk.url(rest))
    assert page.status_code == 200
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.content.decode()))


# -- planned tours ---------------------------------------------------------------------------
def test_booked_shows_are_used_month_by_month_before_the_law():
    """Three shows of 1.5 h in the first month, none in the second, one in the third."""
    tours = (_tour("Spring", 3, 8, 20), _tour("Late", 75))
    assert shows_by_month(tours, TODAY) == (3, 0, 1)
    asked = _prospect(the_worked_case(), *tours).ask()
    assert asked.usage.booked_hours == (4.5, 0.0, 1.5)


def test_a_tour_that_eats_the_stock_is_endangered_and_a_short_one_is_not():
    """2 pairs and 2 heads: each is pulled after 60 h, so pairs last 120 h, 80 shows of 1.5 h."""
    desk = a_desk()
    heads(desk, "A-007", "A-012")
    kind = output_tubes(desk)
    pairs(desk, kind, 2)
    actions.choose_pull(**desk.who, type=kind, pull_hours=60, because="as before")
    actions.set_outlook(**desk.who, type=kind, shows_per_year=0.1, hours_per_show=1.5)
    short, long = _tour("Short", *range(1, 31)), _tour("Long", *range(40, 140))
    prospect = _prospect(desk, short, long)
    first, second = tour_chances(prospect.ask(), prospect.bookings, TODAY)
    assert (first.chance, first.endangered) == (1.0, False)
    assert (second.chance, second.endangered) == (0.0, True)
    assert (first.said, second.said) == ("over 99", "under 1")


def _plan(desk: Desk, *days: int) -> None:
    tour = road.add_tour(
        **desk.who, code="T-020", name="Spring leg", starts_on=_day(1), ends_on=_day(400)
    )
    venue = add_place(**desk.who, name="Hall", kind="venue", code="V-1")
    for number, day in enumerate(days, start=1):
        road.add_show(**desk.who, tour=tour, number=number, venue=venue, on=_day(day))


def _day(after: int) -> date:
    return clock.today(a_zone()) + timedelta(days=after)


def a_zone() -> ZoneInfo:
    """The zone of the collections in tests."""
    return ZoneInfo("Europe/Lisbon")


def test_the_pages_name_the_tours_that_are_planned():
    desk = the_worked_case()
    _plan(desk, 10, 12, *range(100, 150))  # 52 x 1.5 h: past one pull at 60 h
    text = _text(desk, "type/EL34/")
    assert re.search(r"Spring leg .* 52 over 99", text)
    assert "first the 52 shows that are booked" in text
    assert "no planned tour is endangered by it" in _text(desk, "")
    lot = queries.shelf(desk.member.collection).lots[0].lot
    actions.write_off(**desk.who, lot=lot, units=60, bucket="sealed", because="flood")
    assert "it endangers Spring leg" in _text(desk, "")


def test_without_a_planned_tour_the_page_says_so():
    assert "No tour is planned" in _text(the_worked_case(), "type/EL34/")


# -- alarms ----------------------------------------------------------------------------------
def test_an_alarm_is_drawn_in_years_or_in_sets():
    desk = the_worked_case()
    kind = output_tubes(desk)
    assert alarms_of(_prospect(desk), 10.0) == ()
    actions.set_outlook(**desk.who, type=kind, alarm_years=12, alarm_units=61)
    assert alarms_of(_prospect(desk), 10.0) == (
        "EL34: 10.0 years by even chance, below the 12 somebody asked to be warned at.",
        "EL34: 60 sets can go on stage, fewer than 61.",
    )
    assert len(alarms_of(_prospect(desk), None)) == 1
    text = _text(desk, "")
    assert "Below the line" in text
    assert "EL34: 60 sets can go on stage, fewer than 61." in text


# -- grades ----------------------------------------------------------------------------------
def test_the_reserve_pulled_with_a_grade_feeds_positions_of_that_grade():
    desk = a_desk()
    wants = [{**place, "grade": "show"} for place in PAIR]
    circuit = add_circuit(collection=desk.member.collection, name="HB-50/2", positions=wants)
    add_piece(**desk.who, code="A-007", kind="amplifier", circuit=circuit)
    kind = output_tubes(desk)
    lot = pairs(desk, kind, 30)
    actions.test(**desk.who, lot=lot, units=10, passed={"show": 8}, failed=2)
    part = actions.issue(
        **desk.who, lot=lot, units=1, grade="show", piece="A-007", position="output"
    )
    actions.pull(**desk.who, part=part, hours=40, grade="show")
    actions.choose_pull(**desk.who, type=kind, pull_hours=60, because="as before")
    actions.set_outlook(**desk.who, type=kind, shows_per_year=120, hours_per_show=1.5)
    prospect = _prospect(desk)
    assert prospect.ask_for("show").stock.units == 27
    assert prospect.ask_for("show", reserve=True).stock.units == 28


# -- what the spread is made of --------------------------------------------------------------
def test_the_spread_that_is_left_when_all_is_known_is_chance():
    asked = _prospect(the_worked_case()).ask()
    whole = drivers(asked)[0].width_years
    assert 0 <= chance_alone(asked) < whole / 2
    assert outcome(asked).median is not None


def test_a_share_of_shows_slows_the_clock_of_a_piece():
    desk = the_worked_case()
    for number in range(4):
        on = ("A-007", "A-012") if number < 3 else ("A-007",)
        a_show(desk, f"W-00{number}", days_ago=number + 2, pieces=on)
    shelf = queries.shelf(desk.member.collection)
    prospect = Prospect(shelf.stock("EL34"), today=clock.today(a_zone()))
    assert [feed.share for feed in prospect.feeds] == [1.0, 0.75]
    assert prospect.ask().sockets.share_of_use == (1.0, 0.75)
    assert "75 of 100 shows" in _text(desk, "type/EL34/")


def test_what_ages_by_the_day_needs_no_log_of_shows():
    use = use_of([], None, clock="days", today=TODAY)
    assert use.usage.hours_per_year == pytest.approx(365.25)
    assert use.missing == ()

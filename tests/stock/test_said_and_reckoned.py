"""What the page says and what is reckoned are the same thing."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from collection.core.events.played import Played
from collection.ledger.actions import open_book
from collection.ledger.telling import Telling
from collection.stock import actions, queries
from collection.stock.asked import Refused, _futures
from collection.stock.bookings import Booking
from collection.stock.endangered import tour_chances
from collection.stock.forecast import Prospect
from collection.stock.pulling import pull_columns
from collection.stock.use import use_of
from collection.stock.ways.beside import side_by_side
from collection.stock.ways.way import Way, put
from collection.stock.what_if import wonder
from registry import clock
from tests.stock.shelves import Desk, a_desk, a_show, heads, output_tubes, pairs, the_worked_case

pytestmark = pytest.mark.django_db
ASKED = {"shows": None, "pull": None, "buy": None, "fails": False, "reserve": False, "rest": []}


def _today(desk: Desk) -> date:
    return clock.today(desk.member.collection.zone_info)


def _prospect(desk: Desk, *bookings: Booking) -> Prospect:
    stock = queries.shelf(desk.member.collection).stock("EL34")
    return Prospect(stock, today=_today(desk), bookings=bookings)


def _lot(desk: Desk):
    return queries.shelf(desk.member.collection).lots[0].lot


def _pulled(desk: Desk, kept_for: str, hours: float = 40, **given: object) -> None:
    lot = _lot(desk)
    part = actions.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output", **given)
    actions.pull(**desk.who, part=part, hours=hours, grade=kept_for)


def _tour(desk: Desk, name: str, *after: int) -> Booking:
    return Booking(name, name, tuple(_today(desk) + timedelta(days=n) for n in after))


# -- what counts as a spare ------------------------------------------------------------------
def test_what_was_pulled_for_rehearsal_feeds_no_show():
    desk = the_worked_case()
    for grade in ("show", "rehearsal", "bench", "V1-quiet"):
        _pulled(desk, grade)
    assert _prospect(desk).reserve == 2


def test_the_reserve_is_the_same_stock_however_it_is_asked_for():
    """It has passed on stage already: only sealed units may still fail, 2 in 10 of them."""
    desk = the_worked_case()
    actions.test(**desk.who, lot=_lot(desk), units=10, passed={"show": 8}, failed=2)
    _pulled(desk, "show", grade="show")
    prospect = _prospect(desk)
    asked = prospect.ask(reserve=True).stock
    assert asked.units * asked.passes_test == pytest.approx(50 * 0.8 + 7 + 1)
    assert put(prospect, Way(reserve=True)).then.stock == asked
    wondered = wonder(prospect, {**ASKED, "reserve": True}).rows
    assert wondered[1][2] == wonder(prospect, {**ASKED, "reserve": True, "buy": 0}).rows[1][2]


def test_what_is_bought_has_yet_to_pass_its_test():
    """All that is left has passed; half of what was tried failed, so half of ten bought will."""
    desk = the_worked_case()
    actions.test(**desk.who, lot=_lot(desk), units=60, passed={"show": 30}, failed=30)
    prospect = _prospect(desk)
    assert prospect.ask().stock.passes_test == 1
    stock = put(prospect, Way(buy=10)).then.stock
    assert (stock.units, stock.units * stock.passes_test) == (40, pytest.approx(35))


def test_what_was_on_stage_already_is_not_burned_in_again():
    desk = the_worked_case()
    actions.set_outlook(
        **desk.who, type=output_tubes(desk), assumed_shape=0.6, assumed_scale_hours=900
    )
    for _ in range(10):
        _pulled(desk, "show")
    prospect = _prospect(desk)
    without = put(prospect, Way(burn_in=10))
    with_it = put(prospect, Way(burn_in=10, reserve=True))
    assert without.then.stock.passes_test == pytest.approx(without.bench)
    units = with_it.then.stock.units * with_it.then.stock.passes_test
    assert units == pytest.approx(50 * with_it.bench + 10)
    assert any("each of its 10 is taken to last like a new one" in doubt
               for doubt in prospect.doubts(prospect.ask()))  # fmt: skip


# -- tours -----------------------------------------------------------------------------------
def test_a_tour_that_is_over_soon_counts_all_its_shows():
    """No spare, a pair at 45 h of 60: the tenth show of 1.5 h asks for one that is not there."""
    desk = a_desk()
    heads(desk, "A-007")
    kind = output_tubes(desk)
    lot = pairs(desk, kind, 1)
    actions.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output", hours_before=45)
    actions.choose_pull(**desk.who, type=kind, pull_hours=60, because="as before")
    actions.set_outlook(**desk.who, type=kind, shows_per_year=20, hours_per_show=1.5)
    tours = (_tour(desk, "Nine", *range(1, 10)), _tour(desk, "Twelve", *range(10, 13)))
    prospect = _prospect(desk, *tours)
    found = tour_chances(prospect.ask(), prospect.bookings, prospect.today)
    assert [one.chance for one in found] == [1.0, 0.0]


def test_months_with_little_booked_are_said_to_be_counted_so():
    desk = the_worked_case()
    prospect = _prospect(desk, _tour(desk, "Far", 300))
    said = " ".join(prospect.doubts(prospect.ask()))
    assert "only booked shows are counted, 1 in 100 of what a time like that" in said
    busy = _prospect(desk, _tour(desk, "Near", *range(1, 20)))
    assert "only booked shows" not in " ".join(busy.doubts(busy.ask()))


# -- use -------------------------------------------------------------------------------------
def test_what_was_on_at_the_bench_only_stands_by():
    desk = the_worked_case()
    a_show(desk, "W-001", days_ago=3, pieces=("A-007",))
    with open_book(desk.member.collection, desk.member) as book:
        bench = Played(pieces=("A-012",), ht_hours="1", session="bench")
        on = _today(desk) - timedelta(days=2)
        code = book.new_subject("show", "W-002").code
        book.append(bench, code, Telling(happened=on.isoformat()))
    assert [feed.plays for feed in _prospect(desk).feeds] == [
        "every show", "stands by, no show in the last year",
    ]  # fmt: skip


def test_a_show_counts_one_on_the_clock_of_shows_whatever_hours_are_stated():
    desk = the_worked_case()
    kind = output_tubes(desk)
    outlook = actions.set_outlook(**desk.who, type=kind, hours_per_show=2.5, shows_per_year=80)
    found = use_of([], outlook, clock="shows", today=_today(desk))
    assert found.usage.hours_per_year == 80


# -- one fewer -------------------------------------------------------------------------------
def _four_shows(desk: Desk, both: int) -> Prospect:
    for number in range(4):
        on = ("A-007", "A-012") if number < both else ("A-007",)
        a_show(desk, f"W-00{number}", days_ago=number + 2, pieces=on)
    return _prospect(desk)


def test_one_fewer_is_missed_only_where_two_were_on():
    """1 and 3/4 of the shows; in 3/4 both were on, so one head's shows are what is left."""
    prospect = _four_shows(the_worked_case(), both=3)
    shares = put(prospect, Way(fewer="HB-50/2")).then.sockets.share_of_use
    assert sum(shares) == pytest.approx(1.0)
    (row,) = [row for row in side_by_side(prospect) if row.way.fewer]
    assert "one stays off; all 2 take turns. So it was in 75 of 100 shows" in row.basis


def test_one_fewer_saves_nothing_where_they_take_turns_already():
    desk = the_worked_case()
    for number, code in enumerate(("A-007", "A-012")):
        a_show(desk, f"W-00{number}", days_ago=number + 2, pieces=(code,))
    with pytest.raises(Refused, match="saves nothing"):
        put(_prospect(desk), Way(fewer="HB-50/2"))


# -- beyond the log --------------------------------------------------------------------------
def test_an_assumed_law_is_held_against_the_ages_in_the_log():
    """One pull at 100 h is logged: 90 h is within it, 120 h beyond, whatever is assumed."""
    desk = the_worked_case()
    actions.set_outlook(**desk.who, type=output_tubes(desk), assumed_scale_hours=900)
    _pulled(desk, "show", 100)
    prospect = _prospect(desk)
    assert not put(prospect, Way(pull=90)).gain.extrapolated
    assert put(prospect, Way(pull=120)).gain.extrapolated
    last = [column.basis for column in pull_columns(prospect)][-1]
    assert "Extrapolated: nothing in the log is older than 100 h." in last


def test_ages_in_days_are_not_called_hours():
    desk = the_worked_case()
    actions.change_type(type=output_tubes(desk), clock="shows")
    actions.set_outlook(**desk.who, type=output_tubes(desk), assumed_scale_hours=None)
    _pulled(desk, "show", 40)
    for number in range(2):
        a_show(desk, f"W-{number}", days_ago=number + 1, pieces=("A-007", "A-012"))
    part = actions.issue(
        **desk.who, lot=_lot(desk), units=1, piece="A-007", position="output",
        telling=Telling(happened=(_today(desk) - timedelta(days=9)).isoformat()),
    )  # fmt: skip
    assert part.code
    said = " ".join(_prospect(desk).doubts(_prospect(desk).ask()))
    assert "no part in the log is older than 2 shows" in said


# -- at the edges ----------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("units", "pull", "futures"), [(60, 60, 10_000), (100_000, 60, 10_000), (100_000, 1, 400)]
)
def test_a_question_of_a_hundred_thousand_tubes_is_not_drawn_for_minutes(units, pull, futures):
    """Two heads at 1,000 shows of 1.5 h for 30 years: 1,500 pulls at 60 h, 90,000 at 1 h."""
    desk = the_worked_case()
    actions.set_outlook(**desk.who, type=output_tubes(desk), shows_per_year=1000)
    asked = _prospect(desk).ask(pull=pull)
    asked = replace(asked, stock=replace(asked.stock, units=units))
    assert _futures(asked, 30) == futures


def test_a_fitted_pair_past_its_age_without_a_spare_is_a_demand_now():
    desk = a_desk()
    heads(desk, "A-007")
    kind = output_tubes(desk)
    lot = pairs(desk, kind, 1)
    where = {"piece": "A-007", "position": "output"}
    actions.issue(**desk.who, lot=lot, units=1, hours_before=90, **where)
    actions.choose_pull(**desk.who, type=kind, pull_hours=60, because="as before")
    actions.set_outlook(**desk.who, type=kind, shows_per_year=120, hours_per_show=1.5)
    prospect = _prospect(desk)
    asked = prospect.ask()
    assert [asked.figures.quantile(p) for p in (0.1, 0.5, 0.9)] == [0, 0, 0]
    said = " ".join(prospect.doubts(asked))
    assert "No spare is left" in said
    assert "1 fitted are at their pull age or past it and count as demand now." in said

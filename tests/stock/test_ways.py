"""What would help, side by side; kept as plans; then and now."""

import re
from datetime import timedelta

import pytest

from collection.core.depletion import Change, gain
from collection.ledger.telling import Telling
from collection.stock import actions, queries
from collection.stock.asked import Refused, change
from collection.stock.forecast import Prospect
from collection.stock.ways.actions import NameTaken, keep_plan
from collection.stock.ways.beside import side_by_side
from collection.stock.ways.models import ThriftPlan
from collection.stock.ways.queries import received_since
from collection.stock.ways.since import Since
from collection.stock.ways.way import Way, put
from registry import clock
from registry.access.roles import Role
from tests.builders import a_member, client_of
from tests.stock.shelves import Desk, a_show, output_tubes, the_worked_case

pytestmark = pytest.mark.django_db


def _prospect(desk: Desk) -> Prospect:
    shelf = queries.shelf(desk.member.collection)
    return Prospect(shelf.stock("EL34"), today=clock.today(desk.member.collection.zone_info))


def _early(desk: Desk) -> None:
    """A tenth or so die early: a shape below one, as somebody assumes."""
    actions.set_outlook(
        **desk.who, type=output_tubes(desk), assumed_shape=0.6, assumed_scale_hours=900
    )


def _text(response) -> str:
    plain = re.sub(r"<[^>]+>", " ", response.content.decode())
    return re.sub(r"\s+", " ", plain).replace("&#x27;", "'")


# -- what each way does ----------------------------------------------------------------------
def test_doubling_the_pull_halves_the_use_and_is_marked_as_extrapolated():
    found = put(_prospect(the_worked_case()), Way(pull=120))
    assert (found.used_now, found.used_a_year) == (pytest.approx(12), pytest.approx(6))
    assert found.gain.years == pytest.approx(10, abs=1)
    assert found.gain.extrapolated


def test_one_fewer_on_tour_saves_half_where_two_took_turns():
    """Two heads alike: each plays half of the shows, so years double."""
    found = put(_prospect(the_worked_case()), Way(fewer="HB-50/2"))
    assert found.then.sockets.share_of_use == (0.5, 0.5)
    assert found.then.hand_rule_years == pytest.approx(20.0)


def test_resting_one_and_a_near_type_for_it_use_the_same_spares():
    desk = the_worked_case()
    actions.change_type(type=output_tubes(desk), near={"KT77": "check bias and screen"})
    prospect = _prospect(desk)
    rested = put(prospect, Way(rest=("A-012",))).then
    near = put(prospect, Way(near="A-012 output|KT77")).then
    assert rested.sockets.share_of_use == near.sockets.share_of_use == (1.0, 0.0)


def test_a_burn_in_moves_deaths_off_the_stage_and_uses_more():
    desk = the_worked_case()
    _early(desk)
    found = put(_prospect(desk), Way(burn_in=10))
    assert found.gain.added_failures_per_show < 0
    assert found.used_a_year > found.used_now


def test_a_gain_is_that_of_the_core_from_scratch():
    asked = _prospect(the_worked_case()).ask()
    what = Change(units_added=20)
    _, ours = change(asked, what)
    core = gain(asked.stock, asked.sockets, asked.law.life, asked.usage, what, seed=asked.seed)
    assert (ours.years, ours.before, ours.after) == (core.years, core.before, core.after)
    assert ours.added_failures_per_show == core.added_failures_per_show


def test_a_way_that_cannot_be_is_refused_in_words():
    prospect = _prospect(the_worked_case())
    for way, said in (
        (Way(buy=-61), "cannot be lost from a stock of 60"),
        (Way(burn_in=60), "leaves nothing before the pull"),
        (Way(fewer="Twelve"), "There are not two Twelve"),
        (Way(rest=("A-007", "A-012")), "Every position rests"),
    ):
        with pytest.raises(Refused, match=said):
            put(prospect, way)


# -- the page --------------------------------------------------------------------------------
def test_ways_stand_side_by_side_with_what_they_cost():
    desk = the_worked_case()
    _early(desk)
    rows = {row.words: row for row in side_by_side(_prospect(desk))}
    assert rows["as it is"].gained == "0.0"
    assert rows["buy 6"].gained.startswith("+")
    assert rows["burn in 10 h on the bench"].added.startswith("-")
    text = _text(client_of(desk.member).get(desk.url("type/EL34/ways/")))
    for words in ("as it is", "pull at 240 h", "burn in 10 h on the bench", "rest A-007", "buy 6"):
        assert words in text


def test_the_price_of_a_year_is_said_when_a_price_is_given():
    desk = the_worked_case()
    page = client_of(desk.member).get(desk.url("type/EL34/ways/"), {"buy": 60, "price": "3000.00"})
    assert re.search(r"(€|EUR) ?\d{2,3}\.\d\d a year gained|\d{2,3}\.\d\d EUR a year", _text(page))


def test_a_price_without_a_number_is_asked_for_it():
    desk = the_worked_case()
    page = client_of(desk.member).get(desk.url("type/EL34/ways/"), {"price": "30"})
    assert "Say how many it buys." in _text(page)


def test_an_unchosen_pull_still_compares_pull_ages():
    desk = the_worked_case()
    queries.shelf(desk.member.collection).choices[0].delete()
    text = _text(client_of(desk.member).get(desk.url("type/EL34/ways/")))
    assert "only pull ages are compared" in text
    assert "burn in" not in text.split("Put one together")[0]


def test_a_stock_without_use_says_what_to_record():
    desk = the_worked_case()
    kind = output_tubes(desk)
    actions.set_outlook(**desk.who, type=kind, shows_per_year=None, hours_per_show=None)
    text = _text(client_of(desk.member).get(desk.url("type/EL34/ways/")))
    assert "No use has been logged and nothing is booked." in text


# -- plans -----------------------------------------------------------------------------------
def test_a_plan_keeps_who_when_inputs_and_figures():
    desk = the_worked_case()
    sent = {"buy": "20", "price": "400", "name": "Ferry crate", "because": "offered in Oban"}
    answer = client_of(desk.member).post(desk.url("type/EL34/ways/keep/"), sent)
    assert answer.status_code == 302
    plan = ThriftPlan.objects.get()
    assert (plan.name, plan.made_by) == ("Ferry crate", desk.member.code)
    assert plan.inputs == {"buy": 20, "price_minor": 40000}
    assert plan.figures["then"]["units"] == 80
    assert len(plan.figures["then"]["by_year"]) == 31
    text = _text(client_of(desk.member).get(answer.url))
    assert "It is too early to say" in text
    assert "offered in Oban" in text


def test_a_name_is_used_once_a_stock():
    desk = the_worked_case()
    client, address = client_of(desk.member), desk.url("type/EL34/ways/keep/")
    client.post(address, {"buy": "20", "name": "Ferry crate"})
    again = client.post(address, {"buy": "10", "name": "Ferry crate"})
    assert again.status_code == 422
    assert "called 'Ferry crate' already" in _text(again)
    with pytest.raises(NameTaken):
        keep_plan(
            prospect=_prospect(desk), by=desk.member, name="Ferry crate", way=Way(buy=1),
            now=clock.now(),
        )  # fmt: skip


def test_a_viewer_keeps_no_plan():
    desk = the_worked_case()
    viewer = a_member(desk.member.collection, role=Role.VIEWER)
    sent = {"buy": "20", "name": "Ferry crate"}
    assert client_of(viewer).post(desk.url("type/EL34/ways/keep/"), sent).status_code == 403


def test_a_plan_is_compared_with_what_came():
    """Two years on: 240 shows and 24 tubes were planned; 2 shows came and half the crate burnt."""
    desk = the_worked_case()
    then = clock.now() - timedelta(days=730)
    plan = keep_plan(prospect=_prospect(desk), by=desk.member, name="Steady", way=Way(), now=then)
    lot = queries.shelf(desk.member.collection).lots[0].lot
    today = Telling(happened=clock.today(desk.member.collection.zone_info).isoformat())
    actions.receive(**desk.who, lot=lot, units=3, telling=today)
    actions.write_off(**desk.who, lot=lot, units=30, bucket="sealed", because="fire")
    part = actions.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output")
    for number in range(2):
        a_show(desk, f"W-{number}", days_ago=3 + number, pieces=("A-007",))
    actions.die(**desk.who, part=part, hours=30, how="hum", telling=today)
    prospect = _prospect(desk)
    came = received_since(desk.member.collection, prospect.stock, then)
    since = Since(plan, prospect, clock.now(), came)
    rows = {what: (planned, came) for what, planned, came in since.rows}
    assert rows["shows"] == ("240", "2")
    assert rows["left"][1] == "32"
    assert rows["used, single parts"] == ("24.0", "2")
    assert rows["died on stage"][1] == "1"
    assert rows["came in"] == ("0", "3")
    assert "Fewer are left than nine chances in ten allowed for" in since.verdict
    assert since.years_rows


# -- queries ---------------------------------------------------------------------------------
def test_ways_and_plans_ask_the_same_number_of_queries_for_more(
    django_assert_num_queries, django_assert_max_num_queries
):
    desk = the_worked_case()
    client, address = client_of(desk.member), desk.url("type/EL34/ways/")
    plan = keep_plan(
        prospect=_prospect(desk), by=desk.member, name="One", way=Way(buy=1), now=clock.now()
    )
    for path in (address, desk.url(f"plan/{plan.pk}/")):
        client.get(path)
        with django_assert_max_num_queries(20) as few:
            client.get(path)
        for number in range(2):
            keep_plan(
                prospect=_prospect(desk), by=desk.member, name=f"{path}{number}"[-40:],
                way=Way(buy=2 + number), now=clock.now(),
            )  # fmt: skip
        with django_assert_num_queries(len(few)):
            client.get(path)

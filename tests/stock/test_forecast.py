"""`manage.py forecast`, use from the log, positions, and reasons why there is no forecast."""

import json
from datetime import date, timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from collection.catalogue.actions import add_circuit, add_piece
from collection.custody.actions import report_theft
from collection.stock import actions, queries
from collection.stock.asked import Refused
from collection.stock.forecast import Prospect
from collection.stock.records import ShowPlayed
from collection.stock.use import use_of
from tests.builders import client_of
from tests.stock.shelves import Desk, a_desk, a_show, heads, output_tubes, pairs, the_worked_case

TODAY = date(2026, 11, 24)


def _forecast(desk: Desk, *more: str) -> dict:
    out = StringIO()
    slug = desk.member.collection.slug
    call_command("forecast", "EL34", "--json", "--collection", slug, *more, stdout=out)
    return json.loads(out.getvalue())


def _prospect(desk: Desk, **booked) -> Prospect:
    shelf = queries.shelf(desk.member.collection)
    return Prospect(shelf.stock("EL34"), today=TODAY, **booked)


# -- the command -----------------------------------------------------------------------------
@pytest.mark.django_db
def test_the_command_answers_as_json_and_twice_alike():
    """60 x 60 / (2 x 120 x 1.5) = 10.0 years by hand; common practice, no source."""
    desk = the_worked_case()
    answer = _forecast(desk)
    assert answer == _forecast(desk)
    assert (answer["type"], answer["units"]) == ("EL34", 60)
    assert answer["hand_rule_years"] == pytest.approx(10.0)
    low, middle, high = (answer["quantiles"][p] for p in ("0.1", "0.5", "0.9"))
    assert low < middle == answer["median_years"] < high
    assert middle == pytest.approx(10.0, abs=0.5)
    assert not answer["beyond_horizon"]
    assert "The law of life is assumed, not taken from the log." in answer["warnings"]


@pytest.mark.django_db
def test_what_lies_beyond_the_horizon_is_null_and_flagged():
    desk = the_worked_case()
    kind = output_tubes(desk)
    pairs(desk, kind, 1000)
    answer = _forecast(desk)
    assert answer["median_years"] is None
    assert answer["beyond_horizon"]


@pytest.mark.django_db
def test_the_command_gives_every_reason_why_not():
    desk = a_desk()
    pairs(desk, output_tubes(desk), 4)
    with pytest.raises(CommandError) as refused:
        _forecast(desk)
    assert "No use has been logged" in str(refused.value)
    assert "Nobody has chosen when to pull EL34" in str(refused.value)


@pytest.mark.django_db
def test_the_command_asks_which_collection_when_there_are_two():
    a_desk(), a_desk()
    with pytest.raises(CommandError, match="--collection"):
        call_command("forecast", "EL34")


# -- what is fed -----------------------------------------------------------------------------
@pytest.mark.django_db
def test_a_matched_pair_of_positions_is_one_position_of_sets():
    prospect = _prospect(the_worked_case())
    assert [feed.words for feed in prospect.feeds] == ["A-007 output", "A-012 output"]


@pytest.mark.django_db
def test_a_stolen_piece_and_one_that_never_plays_use_nothing_up():
    desk = the_worked_case()
    a_show(desk, "W-001", days_ago=3, pieces=("A-007",))
    assert [bool(feed.rests) for feed in _prospect(desk).feeds] == [False, True]
    report_theft(**desk.who, pieces=["A-007"])
    assert _prospect(desk).feeds[0].rests == "stolen"


@pytest.mark.django_db
def test_the_pulled_reserve_adds_years_and_bench_grade_does_not():
    desk = the_worked_case()
    lot = queries.shelf(desk.member.collection).lots[0].lot
    for grade in ("show", "bench"):
        part = actions.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output")
        actions.pull(**desk.who, part=part, hours=40, grade=grade)
    prospect = _prospect(desk)
    assert (prospect.spares, prospect.reserve) == (58, 1)
    assert prospect.ask(reserve=True).stock.units == 59


@pytest.mark.django_db
def test_loose_tubes_of_a_paired_type_count_as_whole_pairs_and_say_so():
    desk = the_worked_case()
    kind = output_tubes(desk)
    loose = actions.add_lot(**desk.who, type=kind)
    actions.receive(**desk.who, lot=loose, units=7)
    prospect = _prospect(desk)
    assert prospect.spares == 63
    assert any("counted singly" in doubt for doubt in prospect.doubts(prospect.ask()))


@pytest.mark.django_db
def test_planned_hours_come_as_an_argument_and_stand_in_for_a_log():
    desk = a_desk()
    heads(desk, "A-007")
    kind = output_tubes(desk)
    pairs(desk, kind, 2)
    actions.set_outlook(**desk.who, type=kind, hours_per_show=2.0)
    actions.choose_pull(**desk.who, type=kind, pull_hours=60, because="as before")
    with pytest.raises(Refused, match="nothing is booked"):
        _prospect(desk).ask()
    booked = _prospect(desk, booked_hours=(60.0, 60.0, 60.0)).ask()
    assert booked.figures.quantile(0.5) == pytest.approx(0.25, abs=0.01)
    assert booked.hand_rule_years is None


# -- use -------------------------------------------------------------------------------------
def _shows(*days_ago: int, ht: float | None = 2.0) -> list[ShowPlayed]:
    return [
        ShowPlayed((n, n), TODAY - timedelta(days=ago), None, ht, frozenset())
        for n, ago in enumerate(days_ago)
    ]


def test_less_than_a_year_of_log_counts_as_a_year():
    use = use_of(_shows(24, 10, 3), None, clock="ht", today=TODAY)
    assert (use.usage.shows_per_year, use.usage.hours_per_show) == (3, 2.0)
    assert use.usage.level_shape == 4.0


def test_three_years_of_log_give_their_own_spread():
    """Counts of 9, 20 and 60 in the last whole years; r = mean² / (variance − mean)."""
    days = [1095 + 5, *[730 + 30 + n for n in range(60)], *[400 + n for n in range(20)],
            *[10 + n for n in range(9)]]  # fmt: skip
    use = use_of(_shows(*days), None, clock="ht", today=TODAY)
    counts = [9, 20, 60]
    mean = sum(counts) / 3
    variance = sum((c - mean) ** 2 for c in counts) / 2
    assert use.usage.yearly_size == pytest.approx(mean**2 / (variance - mean), rel=1e-9)


def test_shows_without_hours_are_asked_for():
    use = use_of(_shows(24, 10, ht=None), None, clock="ht", today=TODAY)
    assert use.usage is None
    assert "how many hours were on" in use.missing[0]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("stated", "because"),
    [({"shows_per_year": 0.0}, "Nothing is played and nothing is booked"),
     ({"shows_per_year": 5000.0, "hours_per_show": 2.0}, "do not fit into a year")],
)  # fmt: skip
def test_use_that_cannot_be_is_refused_on_the_page(stated, because):
    desk = the_worked_case()
    actions.set_outlook(**desk.who, type=output_tubes(desk), **stated)
    page = client_of(desk.member).get(desk.url("type/EL34/"))
    assert page.status_code == 200
    assert because in page.content.decode()


# -- grades ----------------------------------------------------------------------------------
@pytest.mark.django_db
def test_a_position_that_wants_quiet_ones_has_a_run_of_its_own():
    """4 quiet of 10 tested, so 20 sealed hold 8 more: (4 + 8) x 200 h / (2 h x 100) = 12 years."""
    desk = a_desk()
    circuit = add_circuit(collection=desk.member.collection, name="BR-12/B", positions=(
        {"name": "V1", "fits": ["12AX7"], "grade": "quiet"}, {"name": "V2", "fits": ["12AX7"]},
    ))  # fmt: skip
    add_piece(**desk.who, code="A-003", kind="amplifier", circuit=circuit)
    kind = actions.add_type(collection=desk.member.collection, code="12AX7")
    lot = actions.add_lot(**desk.who, type=kind)
    actions.receive(**desk.who, lot=lot, units=30)
    actions.test(**desk.who, lot=lot, units=10, passed={"quiet": 4, "show": 6}, failed=0)
    actions.choose_pull(**desk.who, type=kind, pull_hours=200, because="as before")
    actions.set_outlook(**desk.who, type=kind, shows_per_year=100, hours_per_show=2.0)
    shelf = queries.shelf(desk.member.collection)
    prospect = Prospect(shelf.stock("12AX7"), today=TODAY)
    assert prospect.grades == ("quiet",)
    asked = prospect.ask_for("quiet")
    assert (asked.stock.units, asked.stock.passes_test) == (24, 0.5)
    assert asked.hand_rule_years == pytest.approx(12.0)
    page = client_of(desk.member).get(desk.url("type/12AX7/")).content.decode()
    assert '<th scope="row">quiet</th><td class="num">24</td>' in page

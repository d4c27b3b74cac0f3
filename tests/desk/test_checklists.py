"""The lists before and after a tour: every line has its reason, a tick says who and when.

What is done by custom alone is 'common practice, no source', and says so on the page.
"""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.bench.actions import fault, serve, tag_out
from collection.bench.due.actions import choose_plan
from collection.catalogue.actions import add_photo, add_piece
from collection.custody.actions import add_party
from collection.custody.cases.actions import set_packing_list
from collection.desk.checklists.models import ListTick
from collection.desk.checklists.queries import checklist
from collection.ledger.telling import Telling
from collection.papers.insurance import actions as insurance
from collection.road.actions import set_position, travel
from registry import clock
from tests.builders import a_member, client_of
from tests.catalogue.photo_samples import drawn, saved
from tests.road.builders import TODAY as PAST
from tests.road.builders import a_place, a_road, an_amplifier

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    return a_road(technician, on=clock.today(technician.collection.zone_info))


@pytest.fixture
def by(road):
    return {"collection": road.collection, "by": road.by}


def keys(road, which: str = "before") -> set[str]:
    today = clock.today(road.collection.zone_info)
    seen = checklist(road.tour, which, today=today)
    return {line.key.split(":", 1)[1] for group in seen.groups for line in group.lines}


def address(road, which: str = "before") -> str:
    return f"/{road.collection.slug}/checklist/{road.tour.code}/{which}/"


def test_what_is_broken_or_barred_stands_on_the_list(road, by):
    fault(**by, code="A-018", symptom="crackles")
    tag_out(**by, code="A-003", reason="smoke", check="bench")
    assert {"fault:F-001", "tag:A-003"} <= keys(road)


def test_a_stale_proof_asks_to_try_it_and_a_fresh_one_does_not(road, by):
    old = an_amplifier(road.by, "A-030", works_on=PAST)  # two years before
    set_position(tour=road.tour, number=2, name="two", piece=old, backup=None)
    found = keys(road)
    assert "stale:A-030" in found
    fresh = an_amplifier(road.by, "A-031", works_on=clock.today(road.collection.zone_info))
    set_position(tour=road.tour, number=3, name="three", piece=fresh, backup=None)
    assert "stale:A-031" not in keys(road)


def test_a_position_with_nothing_behind_it_is_a_line(road):
    assert "bare:1" not in keys(road)
    set_position(tour=road.tour, number=1, name="organ amp", piece=road.position.piece)
    assert "bare:1" in keys(road)


def test_mains_that_do_not_fit_are_said_once_for_the_whole_route(road):
    piece = road.position.piece
    piece.mains_volts, piece.mains_hz = 117, "60"
    piece.save()
    assert "mains:A-003" in keys(road)


def test_a_photo_of_front_and_serial_and_the_serial_are_asked_for(road, by):
    piece = road.position.piece
    assert "picture:A-003" in keys(road)
    for number, view in enumerate(("front", "serial")):
        data = saved(drawn(size=(40 + number, 30)), "PNG")
        add_photo(**by, subject=piece.subject, data=data, view=view)
    piece.serial = "2345"
    piece.save()
    assert "picture:A-003" not in keys(road)
    assert "picture:A-018" in keys(road)


def test_work_that_falls_due_on_the_tour_is_on_both_lists(road, by, keeper):
    choose_plan(
        collection=road.collection, by=keeper, what="contacts cleaned", every=Decimal(30),
        measured_by="days", basis="common practice, no source", reason="as before",
    )  # fmt: skip
    serve(**by, code="A-003", what="contacts cleaned", telling=Telling(happened="2024-03-01"))
    for which in ("before", "after"):
        found = {key.rsplit(":", 1)[0] for key in keys(road, which)}
        assert "due:A-003" in found
        assert "due:A-018" not in found  # never done here: that is for the page of what is due


def test_a_carnet_that_is_not_issued_and_a_piece_off_it_are_lines(road):
    piece = an_amplifier(road.by, "A-040")
    set_position(tour=road.tour, number=4, name="four", piece=piece)
    found = keys(road)
    assert {"carnet:none", "carnet:A-040"} <= found
    assert "carnet:A-003" not in found


def test_a_policy_that_ends_on_the_way_and_who_stands_under_none(road, by, keeper):
    today = clock.today(road.collection.zone_info)
    assert not any(key.startswith("insure:") for key in keys(road))  # insures nothing here
    insurer = add_party(**by, name="The insurer", code="N-013")
    made = insurance.add_policy(
        collection=road.collection, by=keeper, insurer=insurer, number="7",
        begins_on=today - timedelta(days=30), ends_on=today - timedelta(days=1), countries="NO",
        currency="EUR",
    )  # fmt: skip
    found = keys(road)
    assert f"policy:{made.code}:days" in found
    assert "insure:A-003" in found


def test_lay_up_says_what_custom_does_and_that_it_has_no_source(road, technician_client):
    case = a_place(road.by, "Case 02", "case", code="CASE-02", inside=road.truck)
    road.tour.places.add(case)
    set_packing_list(case=case, by=road.by, pieces=[], kit=[(24, "battery, 9 V")])
    found = keys(road, "after")
    assert {"custom:tubes", "custom:covers", "carnet:back"} <= found
    assert "custom:slack" not in found  # no instrument travels
    assert any(key.startswith("cells:") for key in found)
    page = technician_client.get(address(road, "after")).content.decode()
    assert "Common practice, no source." in page


def test_an_organ_has_no_strings_and_only_an_echo_has_a_loop(road):
    organ = add_piece(
        collection=road.collection, by=road.by, code="O-001", kind="instrument", family="reed organ"
    )
    set_position(tour=road.tour, number=5, name="organ", piece=organ)
    assert not {"custom:slack", "custom:loops"} & keys(road, "after")
    for code, kind, family in (
        ("G-001", "instrument", "lap steel"),
        ("E-1", "effect", "tape echo"),
    ):
        piece = add_piece(
            collection=road.collection, by=road.by, code=code, kind=kind, family=family
        )
        travel(tour=road.tour, piece=piece, on_carnet=False)
    assert {"custom:slack", "custom:loops"} <= keys(road, "after")


def test_a_tick_says_who_and_when_and_comes_off_again(road, technician_client):
    line = "before:carnet:none"
    assert technician_client.post(address(road), {"line": line}).status_code == 302
    row = ListTick.objects.get()
    assert (row.line, row.by) == (line, road.by.code)
    other = a_member(road.collection)
    client_of(other).post(address(road), {"line": line})
    assert ListTick.objects.get().by == road.by.code  # the first tick stands
    page = technician_client.get(address(road)).content.decode()
    assert "Not done" in page
    technician_client.post(address(road), {"line": line, "undo": "1"})
    assert not ListTick.objects.exists()


def test_a_tick_on_one_list_ticks_nothing_on_the_other_or_on_another_tour(
    road, technician_client, by
):
    fault(**by, code="A-018", symptom="crackles")
    technician_client.post(address(road), {"line": "before:fault:F-001"})
    today = clock.today(road.collection.zone_info)
    after = checklist(road.tour, "after", today=today)
    assert not any(line.done for group in after.groups for line in group.lines)


def test_only_a_line_of_the_list_can_be_ticked(road, technician_client):
    technician_client.post(address(road), {"line": "before:made-up"})
    assert not ListTick.objects.exists()
    assert technician_client.get(address(road, "never")).status_code == 404


def test_more_pieces_ask_no_more_queries(road, technician_client):
    def add(number: int) -> None:
        piece = an_amplifier(road.by, f"A-1{number}")
        set_position(tour=road.tour, number=number, name=f"at {number}", piece=piece)

    add(20)
    for which in ("before", "after"):
        technician_client.get(address(road, which))
    counts = []
    for more in ((30, 31), (32, 33)):
        with CaptureQueriesContext(connection) as asked:
            for which in ("before", "after"):
                assert technician_client.get(address(road, which)).status_code == 200
        counts.append(len(asked))
        for number in more:
            add(number)
    assert counts[0] == counts[1]

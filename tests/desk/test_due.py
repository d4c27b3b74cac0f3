"""What is due by the next day off, with the tour in sight."""

from datetime import timedelta

import pytest

from collection.bench.actions import serve
from collection.bench.due.actions import choose_plan
from collection.desk.due import board
from collection.desk.tonight import tonight
from collection.ledger.telling import Telling
from collection.road.actions import add_show, log_show
from registry import clock
from tests.builders import client_of
from tests.road.builders import NOW, TODAY, a_road

pytestmark = pytest.mark.django_db


def plan(by, **said):
    usual = {"what": "tape path cleaned", "every": 2, "measured_by": "shows", "basis": "a page",
             "reason": "dusty"}  # fmt: skip
    return choose_plan(collection=by.collection, by=by, **(usual | said))


def served(by, code, what, on):
    serve(collection=by.collection, by=by, code=code, what=what,
          telling=Telling(happened=on.isoformat()))  # fmt: skip


@pytest.fixture
def road(technician):
    """Tonight and the two days after are shows; the fourth day is off, and the fifth."""
    road = a_road(technician)
    for days in (1, 2):
        add_show(collection=road.collection, by=technician, tour=road.tour, venue=road.venue,
                 on=TODAY + timedelta(days=days), number=14 + days)  # fmt: skip
    return road


def test_shows_to_come_bring_work_in_before_the_day_off(road, technician):
    plan(technician, piece=road.position.piece)
    served(technician, "A-003", "tape path cleaned", TODAY - timedelta(days=1))
    found = board(road.collection, today=TODAY)
    assert found.slots.day_off == TODAY + timedelta(days=3)
    (line,) = found.by_day_off
    assert (line.due.standing, line.due.by) == ("coming", TODAY + timedelta(days=1))


def test_what_does_not_play_does_not_come_due_by_shows(road, technician):
    plan(technician, piece=road.position.backup)
    served(technician, "A-018", "tape path cleaned", TODAY - timedelta(days=1))
    found = board(road.collection, today=TODAY)
    assert not found.by_day_off
    assert [line.piece.code for line in found.later] == ["A-018"]


def test_hours_to_come_are_those_of_the_day_sheet(road, technician):
    """20:45 to 23:00 is 2.25 h of high tension a show; 2.25 h are full after the first."""
    plan(technician, piece=road.position.piece, what="bias", every="2.2", measured_by="ht-hours")
    served(technician, "A-003", "bias", TODAY - timedelta(days=1))
    (line,) = board(road.collection, today=TODAY).by_day_off
    assert line.due.by == TODAY


def test_a_logged_show_is_counted_once(road, technician):
    plan(technician, piece=road.position.piece, every=9)
    served(technician, "A-003", "tape path cleaned", TODAY - timedelta(days=1))
    log_show(collection=road.collection, by=technician, show=road.show, pieces=["A-003"])
    found = board(road.collection, today=TODAY)
    assert (found.shows, found.later[0].due.used) == (2, 1)


def test_tonight_lists_it_for_the_day_off_and_never_before_doors(road, technician):
    plan(technician, piece=road.position.piece)
    served(technician, "A-003", "tape path cleaned", TODAY - timedelta(days=1))
    seen = tonight(road.collection, now=NOW, member=technician)
    assert "tape path cleaned" in [one.what for one in seen.later.shown]
    assert seen.before_doors == len(seen.holes)


def test_tonight_shows_six_works_and_how_many_more_there_are(road, technician):
    for number in range(8):
        what = f"pot {number} cleaned"
        plan(technician, piece=road.position.piece, what=what)
        served(technician, "A-003", what, TODAY - timedelta(days=1))
    found = tonight(road.collection, now=NOW, member=technician).later
    assert len([one for one in found.shown if one.how == "bench"]) == 6
    assert found.more_work == 2


def test_the_page_is_never_red_and_leads_to_the_press(technician, technician_client):
    day = clock.today(technician.collection.zone_info)
    road = a_road(technician, on=day)
    plan(technician, piece=road.position.piece, every=1, measured_by="days")
    served(technician, "A-003", "tape path cleaned", day - timedelta(days=300))
    page = technician_client.get(f"/{road.collection.slug}/due/").content.decode()
    assert "300 of 1 days" in page
    assert "Did it: tape path cleaned, A-003" in page
    for red in ('data-s="over"', 'data-s="bare"', 'data-s="gone"'):
        assert red not in page


def test_a_viewer_sees_what_is_due_without_a_press(road, technician, viewer):
    plan(technician, piece=road.position.piece)
    page = client_of(viewer).get(f"/{road.collection.slug}/due/").content.decode()
    assert "Did it" not in page


def test_the_page_asks_the_same_few_queries(
    road, technician, technician_client, django_assert_max_num_queries
):
    url = f"/{road.collection.slug}/due/"
    plan(technician)
    with django_assert_max_num_queries(18) as few:
        technician_client.get(url)
    for what in ("bias", "contacts", "loop"):
        plan(technician, what=what)
        served(technician, "A-003", what, TODAY)
    with django_assert_max_num_queries(len(few)):
        technician_client.get(url)

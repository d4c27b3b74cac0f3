"""One night otherwise than planned: pages of the evening agree, and the plan stays."""

from datetime import time, timedelta

import pytest
from django.utils import timezone

from collection.catalogue.actions import add_piece
from collection.custody.actions import report_theft
from collection.ledger.models import Event
from collection.road.actions import add_outside_candidate, add_show, it_died
from collection.road.mains.models import CountryMains
from collection.road.models import Show
from collection.road.overrides.actions import set_override
from collection.road.overrides.models import PositionOverride
from tests.road.builders import a_place, a_road, an_amplifier

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    today = timezone.localdate(timezone=technician.collection.zone_info)
    return a_road(technician, on=today, doors=time(23, 58), on_stage=time(23, 59), off_stage=None)


@pytest.fixture
def other(technician, road):
    return an_amplifier(technician, "A-021", at=road.truck)


@pytest.fixture
def client(technician_client, collection):
    technician_client.base = f"/{collection.slug}/"
    return technician_client


def page(client, path=""):
    return client.get(client.base + path).content.decode()


def swap(client, road, **given):
    path = f"road/shows/{road.show.code}/position/1/"
    return client.post(client.base + path, {"because": "the deputy brings his own", **given})


def test_what_plays_tonight_stands_on_every_page_of_the_evening(client, road, other):
    assert swap(client, road, piece="A-021", who="Bo").status_code == 302
    for path in ("", "show/", f"road/shows/{road.show.code}/stage/",
                 f"road/shows/{road.show.code}/log/"):  # fmt: skip
        assert "A-021" in page(client, path), path
    road.position.refresh_from_db()
    assert road.position.piece.code == "A-003"
    said = page(client, f"road/shows/{road.show.code}/")
    assert "The deputy brings his own." in said
    assert "instead of" in said


def test_another_show_of_the_tour_plays_as_planned(client, road, other, technician):
    tomorrow = add_show(
        collection=road.collection, by=technician, tour=road.tour, venue=road.venue, number=15,
        on=road.show.on + timedelta(days=1),
    )  # fmt: skip
    swap(client, road, piece="A-021")
    assert "A-021" not in page(client, f"road/shows/{tomorrow.code}/stage/")


def test_what_died_is_what_played_that_night(road, other, technician):
    set_override(
        by=technician, position=road.position, show=road.show, piece=other, because="tubes"
    )
    it_died(collection=road.collection, by=technician, show=road.show, position=road.position)
    died = Event.objects.of(road.collection).get(kind="died")
    assert died.subject.code == "A-021"


def test_something_hired_plays_and_is_not_ours(client, road, technician):
    held = add_outside_candidate(
        collection=road.collection, name="combo, two EL84", kind="amplifier", held_by="hire house",
        at=road.venue,
    )  # fmt: skip
    swap(client, road, outside=held.code)
    assert "combo, two EL84" in page(client, f"road/shows/{road.show.code}/stage/")
    assert "hired from hire house" in page(client, f"road/shows/{road.show.code}/")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({}, "Nothing is otherwise than planned."),
        ({"piece": "A-021", "because": ""}, "Write something here."),
        ({"piece": "A-021", "backup": "A-021"}, "A piece cannot stand behind itself."),
    ],
)
def test_a_night_that_cannot_be_is_refused_with_its_reason(client, road, other, given, said):
    assert said in swap(client, road, **given).content.decode()
    assert not PositionOverride.objects.exists()


def test_a_stolen_piece_cannot_play_for_one_night_either(client, road, other, technician):
    report_theft(collection=road.collection, by=technician, pieces=["A-021"])
    assert "A-021 is reported stolen." in swap(client, road, piece="A-021").content.decode()


def test_play_as_planned_takes_the_night_away(client, road, other):
    swap(client, road, piece="A-021")
    client.post(f"{client.base}road/shows/{road.show.code}/position/1/as-planned/")
    assert not PositionOverride.objects.exists()


def test_a_viewer_changes_no_night(viewer_client, road, collection, other):
    path = f"/{collection.slug}/road/shows/{road.show.code}/position/1/"
    given = {"piece": "A-021", "because": "x"}
    assert viewer_client.post(path, given).status_code == 403
    assert viewer_client.post(f"{path}as-planned/").status_code == 403
    stage = f"/{collection.slug}/road/shows/{road.show.code}/stage/"
    assert viewer_client.get(stage).status_code == 200


def test_a_new_show_starts_with_the_mains_of_its_country(client, road, technician):
    hall = a_place(
        technician, "Boxcar Hall", "venue", town="Boston", country="US", latitude=42.36,
        longitude=-71.06, zone="America/New_York",
    )  # fmt: skip
    client.post(
        f"{client.base}road/tours/{road.tour.code}/add-show/",
        {"number": 15, "venue": hall.code, "on": "2024-12-01", "curfew": "23:00", "leg": "East"},
    )
    made = Show.objects.of(road.collection).get(number=15)
    assert (made.mains_volts, made.mains_hz, made.leg) == (120, 60, "East")
    assert made.curfew == time(23)
    said = page(client, f"road/shows/{made.code}/")
    assert "curfew" in said
    assert "ANSI C84.1" in said


def test_the_collections_own_line_goes_over_the_table(client, road):
    client.post(
        f"{client.base}road/mains/NO/",
        {"volts": 220, "hertz": 50, "source": "the old hall", "as_of": "2026-11-01"},
    )
    assert CountryMains.objects.of(road.collection).get().volts == 220
    assert "the old hall" in page(client, "road/mains/")
    client.post(f"{client.base}road/mains/NO/table/")
    assert "the old hall" not in page(client, "road/mains/")


def test_an_echo_for_fifty_hertz_is_warned_of_where_the_mains_have_sixty(client, road, technician):
    echo = add_piece(
        collection=road.collection, by=technician, code="E-002", kind="effect", mains_hz="50",
        mains_volts=120,
    )  # fmt: skip
    road.position.piece = echo
    road.position.save()
    road.show.mains_volts, road.show.mains_hz = 120, 60
    road.show.save()
    said = page(client, f"road/shows/{road.show.code}/")
    assert "a synchronous motor runs 20 % fast" in said
    assert "Set for" not in said  # volts fit


def test_the_artists_list_is_picked_in_order(client, road, other):
    path = f"{client.base}road/tours/{road.tour.code}/rig/1/list/"
    form = client.get(path).context["form"]
    given = {}
    for choice, place in form.rows:
        word = next(w for n, w, _ in form.options if n == choice.name)
        if word in ("A-021", "Twelve"):
            given |= {choice.html_name: "accepted", place.html_name: 1 if word == "A-021" else 2}
        if word == "A-018":
            given[choice.html_name] = "never"
    client.post(path, given)
    road.position.refresh_from_db()
    assert road.position.accepted == ["A-021", "Twelve"]
    assert road.position.never == ["A-018"]

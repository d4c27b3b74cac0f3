"""From the telephone to the stage: an order with an hour is on the way, once, and nowhere else."""

from datetime import timedelta

import pytest

from collection.bench.actions import fault
from collection.catalogue.models import Piece
from collection.core.state import from_json
from collection.custody.freight.actions import Looked, arrive
from collection.custody.freight.models import Shipment
from collection.custody.loans.models import Loan
from collection.ledger.models import Event, State
from collection.road import answer
from collection.road.actions import add_outside_candidate, it_died, sound_back
from collection.road.models import OutsideCandidate
from collection.road.queries import wanted
from registry import clock
from tests.road.builders import BERGEN, VOSS, a_place, a_road, an_amplifier

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    today = clock.today(technician.collection.zone_info)
    return a_road(technician, on=today)


@pytest.fixture
def shop(road):
    at = a_place(road.by, "Hire house", **BERGEN)
    return add_outside_candidate(
        collection=road.collection, name="Hired combo", kind="amplifier", at=at,
        held_by="hire house, Bergen", phone="+47 555 0117", price="900 NOK",
    )  # fmt: skip


def state(road, code: str):
    return from_json(State.objects.get(collection=road.collection, subject__code=code).detail)


def ordered(client, road, code: str, *, hours: float = 3, **typed):
    there = (clock.now() + timedelta(hours=hours)).astimezone(road.show.zone)
    said = {"order": f"{code}, by taxi", "authorised_by": "Ada", "once": "a-press"}
    said |= {"expected_at": f"{there:%Y-%m-%dT%H:%M}", "carrier_words": "a taxi"} | typed
    url = f"/{road.collection.slug}/road/backup/1/choose/{code}/"
    return client.post(url, said)


def find(road):
    now = clock.now()
    want = wanted(road.collection, "1", now=now)
    return answer.find(road.collection, member=road.by, now=now, **want)


def test_an_own_piece_that_was_ordered_is_on_the_way_and_on_the_plan(road, technician_client):
    voss = a_place(road.by, "Store", **VOSS)
    an_amplifier(road.by, "A-090", at=voss)
    for _ in range(2):
        assert ordered(technician_client, road, "A-090").status_code == 302
    shipment = Shipment.objects.get()
    assert (shipment.to, shipment.origin, shipment.who) == (road.venue, voss, "a taxi")
    assert state(road, "A-090").place == shipment.code
    road.position.refresh_from_db()
    assert (road.position.backup.code, road.position.stands) == ("A-090", "side")
    assert Event.objects.filter(kind="noted").count() == 1
    assert Event.objects.get(kind="noted").act == Event.objects.get(kind="shipped").act


def test_what_is_on_the_way_is_ranked_by_when_it_is_expected(road, technician_client):
    an_amplifier(road.by, "A-090", at=a_place(road.by, "Store", **VOSS))
    ordered(technician_client, road, "A-090")
    line = next(one for one in find(road).options if one.code == "A-090")
    shipment = Shipment.objects.get()
    assert [leg.what for leg in line.legs] == ["road", "warm-up", "check"]
    assert line.legs[0].ends_at == shipment.expected_at
    assert line.option.basis == "confirmed"
    assert line.option.sounds_at > shipment.expected_at
    assert line.known.where == f"on the way to {road.venue.name}"


def test_once_its_hour_has_passed_it_is_an_estimate_again(road, technician_client):
    an_amplifier(road.by, "A-090", at=a_place(road.by, "Store", **VOSS))
    ordered(technician_client, road, "A-090")
    past = clock.now() - timedelta(minutes=20)
    Shipment.objects.update(left_at=past - timedelta(hours=1), expected_at=past)
    line = next(one for one in find(road).options if one.code == "A-090")
    assert line.estimate
    assert "ring" in line.legs[0].note


def test_a_hired_one_enters_the_register_on_the_way_with_its_loan(road, shop, technician_client):
    for _ in range(2):
        assert ordered(technician_client, road, shop.code).status_code == 302
    piece = Piece.objects.get(name="Hired combo")
    loan, shipment = Loan.objects.get(), Shipment.objects.get()
    assert (loan.way, loan.party.phone, loan.price) == ("hired", "+47 555 0117", "900 NOK")
    assert shipment.things == [piece.code]
    found = state(road, piece.code)
    assert (found.place, found.owner) == (shipment.code, loan.party.code)
    acts = {event.act for event in Event.objects.filter(kind__in=("hired_in", "shipped", "noted"))}
    assert len(acts) == 1
    # It counts once: as what is on the way, no longer as what the shop holds.
    found = find(road)
    assert piece.code in {one.code for one in found.options}
    shut = next(one for one in found.ruled_out if one.code == shop.code)
    assert f"It is hired: here it is called {piece.code}." in shut.reasons


def test_tonight_says_when_it_is_expected_and_the_check_ends_it(road, shop, technician_client):
    ordered(technician_client, road, shop.code)
    shipment = Shipment.objects.get()
    url = f"/{road.collection.slug}/"
    expected = shipment.expected_at.astimezone(road.show.zone)
    page = technician_client.get(url).content.decode()
    assert "on the way, expected" in page
    assert f"{expected:%H:%M}" in page
    arrive(shipment=shipment, by=road.by, at=road.venue, looked=Looked(tuple(shipment.things)))
    page = technician_client.get(url).content.decode()
    assert "on the way, expected" not in page
    code = shipment.things[0]
    assert state(road, code).unproven_because == "freight"
    assert code not in {one.code for one in find(road).options}


def test_without_an_hour_only_the_order_is_kept(road, shop, technician_client):
    assert ordered(technician_client, road, shop.code, expected_at="").status_code == 302
    assert Event.objects.filter(kind="noted").count() == 1
    assert not Shipment.objects.exists()
    assert not Loan.objects.exists()
    assert OutsideCandidate.objects.get().hired_as is None


def test_an_hour_that_has_passed_is_refused_and_nothing_is_written(road, shop, technician_client):
    page = ordered(technician_client, road, shop.code, hours=-2).content.decode()
    assert "This has passed already on the clock there." in page
    assert 'value="a taxi"' in page
    assert not Event.objects.filter(kind__in=("noted", "hired_in")).exists()
    assert not Piece.objects.filter(name="Hired combo").exists()


def test_what_stands_on_the_tour_is_asked_for_no_hour(road, technician_client):
    an_amplifier(road.by, "A-091", at=road.truck)
    url = f"/{road.collection.slug}/road/backup/1/choose/A-091/"
    assert "Expected here" not in technician_client.get(url).content.decode()


def test_what_was_hired_and_arrived_with_a_fault_is_not_said_to_be_coming(
    road, shop, technician_client
):
    ordered(technician_client, road, shop.code)
    shipment, hired = Shipment.objects.get(), OutsideCandidate.objects.get().hired_as
    arrive(shipment=shipment, by=road.by, at=road.venue, looked=Looked((hired.code,)))
    url = f"/{road.collection.slug}/"
    fault(collection=road.collection, by=road.by, code=hired.code, symptom="knob cracked")
    shown = technician_client.get(url).content.decode()
    assert "backup has an open fault" in shown
    assert f"{shop.code} is coming" not in shown


def test_a_backup_that_plays_is_not_offered_for_its_own_position(road):
    assert "A-018" in {one.code for one in find(road).options}
    died = it_died(collection=road.collection, by=road.by, show=road.show, position=road.position)
    sound_back(died=died)
    found = find(road)
    assert "A-018" not in {one.code for one in found.options}
    why = next(one for one in found.ruled_out if one.code == "A-018")
    assert "It plays at this position since what stood there went silent." in why.reasons

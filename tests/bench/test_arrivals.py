"""The arrival check: warm first, then what came, what is wrong, and power last."""

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from collection.bench.models import Fault
from collection.catalogue.models import Photo, Piece
from collection.core.state import from_json
from collection.custody.actions import add_place
from collection.custody.freight import actions
from collection.custody.freight.models import Shipment
from collection.ledger.models import Event, State
from registry import clock
from tests.bench.builders import a_piece
from tests.catalogue.photo_samples import drawn, saved

pytestmark = pytest.mark.django_db


@pytest.fixture
def shipment(keeper) -> Shipment:
    where = {"collection": keeper.collection, "by": keeper}
    hall = add_place(**where, name="Hall", kind="venue", code="V-1", zone="Europe/Oslo")
    things = [a_piece(keeper).code, a_piece(keeper).code]
    way = actions.Way(to=hall, expected_at=clock.now() + timedelta(hours=3))
    return actions.ship(**where, things=things, way=way)


def address(shipment: Shipment) -> str:
    return f"/{shipment.collection.slug}/bench/arrivals/{shipment.code}/"


def piece_of(shipment: Shipment, index: int = 0):
    return Piece.objects.get(collection=shipment.collection, code=shipment.things[index])


def state(piece):
    return from_json(State.objects.get(subject=piece.subject).detail)


def test_condensation_is_warned_of_before_anything_else_is_asked(shipment, keeper_client):
    page = keeper_client.get(address(shipment)).content.decode()
    form = page[page.index('<form class="fields"') :]
    order = ["Out of a cold hold", "Damage outside", "What came", ": powered"]
    at = [form.index(words) for words in order]
    assert at == sorted(at)


def test_one_act_writes_the_arrival_the_fault_and_the_power_up(shipment, keeper_client):
    one, two = piece_of(shipment), piece_of(shipment, 1)
    typed = {
        "warm": "warm", "waited_minutes": "40", "outside": "corner crushed", "at": "V-1",
        "indicator": "untripped", "came": [one.code, two.code], "once": "a-press",
        f"wrong-{one.pk}": "hums", f"power-{one.pk}": "does-not",
        f"power-{two.pk}": "works",
        f"photo-{two.pk}": SimpleUploadedFile("a.png", saved(drawn(), "PNG"), "image/png"),
    }  # fmt: skip
    for _ in range(2):
        answer = keeper_client.post(address(shipment), typed)
        assert answer.status_code == 302, answer.content.decode()[-3000:]
        typed.pop(f"photo-{two.pk}", None)
    arrived = Event.objects.get(kind="arrived")
    acts = set(Event.objects.filter(kind__in=("faulted", "inspected")).values_list("act", "kind"))
    assert acts == {(arrived.act, "faulted"), (arrived.act, "inspected")}
    assert Fault.objects.get().symptom == "hums"
    assert Photo.objects.get(subject=two.subject).entry == arrived.sequence
    assert state(one).unproven_since
    assert state(two).latest("powered") is not None
    assert (state(one).place, state(two).place) == ("V-1", "V-1")


def test_what_is_still_cold_is_not_powered(shipment, keeper_client):
    one = piece_of(shipment)
    typed = {"warm": "cold", "at": "V-1", "came": [one.code], f"power-{one.pk}": "works"}
    answer = keeper_client.post(address(shipment), typed)
    assert answer.status_code == 422
    assert "It is still cold: leave it unpowered." in answer.content.decode()
    assert not Event.objects.filter(kind="arrived").exists()


def test_a_wet_one_is_tagged_and_cannot_have_been_powered(shipment, keeper_client):
    one = piece_of(shipment)
    typed = {"warm": "warm", "at": "V-1", "came": shipment.things, f"tag-{one.pk}": "wet inside"}
    wrong = typed | {f"power-{one.pk}": "works"}
    assert keeper_client.post(address(shipment), wrong).status_code == 422
    assert keeper_client.post(address(shipment), typed).status_code == 302
    assert state(one).tag.reason == "wet inside"


def test_the_wrong_thing_is_recorded_and_asked_about_never_refused(shipment, keeper_client):
    typed = {"warm": "warm", "at": "V-1", "came": [shipment.things[0]],
             "others": "a BR-12/B without a plate"}  # fmt: skip
    page = keeper_client.post(address(shipment), typed, follow=True).content.decode()
    assert f"The book asks: Sent and not arrived: {shipment.things[1]}." in page
    assert "The book asks: Arrived and not sent: a BR-12/B without a plate." in page
    assert state(piece_of(shipment, 1)).place == shipment.code

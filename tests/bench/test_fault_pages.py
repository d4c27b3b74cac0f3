"""Faults on their way out, by their pages."""

import pytest

from collection.bench.actions import fault, settle_fault
from collection.bench.faults import actions, queries
from collection.bench.models import Fault
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.road.actions import log_show
from registry import clock
from tests.builders import client_of
from tests.road.builders import a_road

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    return a_road(technician, on=clock.today(technician.collection.zone_info), load_in=None,
                  line_check=None, doors=None, on_stage=None, off_stage=None)  # fmt: skip


@pytest.fixture
def pop(road, technician):
    return fault(
        collection=road.collection, by=technician, code="A-003", symptom="pops", intermittent=True
    )


def line(pop) -> queries.FaultLine:
    return queries.FaultLine(queries.faults(pop.collection).get(pk=pop.pk))


def shows_without(road, technician, number: int) -> None:
    for _ in range(number):
        log_show(collection=road.collection, by=technician, show=road.show, pieces=["A-003"])


def address(pop, *parts) -> str:
    return f"/{pop.collection.slug}/bench/faults/" + "".join(f"{p}/" for p in (pop.code, *parts))


def test_a_fault_that_did_it_again_is_the_same_fault(pop, technician_client):
    technician_client.post(address(pop, "press", "not-reproduced"), {"words": "forty switchings"})
    assert line(pop).open
    technician_client.post(address(pop, "press", "again"), {"once": "one"})
    technician_client.post(address(pop, "press", "again"), {"once": "one"})
    assert Fault.objects.count() == 1
    assert line(pop).state.condition == "intermittent"
    assert Event.objects.filter(kind="faulted").count() == 2


def test_proven_is_offered_once_enough_clean_shows_are_logged(
    pop, road, technician, technician_client
):
    settle_fault(collection=road.collection, by=technician, fault=pop, outcome="fixed")
    shows_without(road, technician, 3)
    assert (line(pop).clean, line(pop).ready) == (3, False)
    assert "Proven: write it" not in technician_client.get(address(pop)).content.decode()
    with pytest.raises(LedgerError, match="3 of 4 shows"):
        actions.prove(fault=pop, by=technician)
    shows_without(road, technician, 1)
    board = technician_client.get(f"/{road.collection.slug}/bench/faults/").content.decode()
    assert "Waiting for proof" in board
    assert "Proven: write it" in board
    technician_client.post(address(pop, "press", "proven"))
    assert line(pop).state.condition == "proven"


def test_shows_without_a_fault_nobody_found_prove_nothing(pop, road, technician):
    settle_fault(collection=road.collection, by=technician, fault=pop, outcome="not-reproduced")
    shows_without(road, technician, 6)
    assert (line(pop).clean, line(pop).ready, line(pop).open) == (6, False, True)
    with pytest.raises(LedgerError, match="not reproduced"):
        actions.prove(fault=pop, by=technician)


def test_after_how_many_shows_can_be_changed(pop, road, technician, technician_client):
    settle_fault(collection=road.collection, by=technician, fault=pop, outcome="fixed")
    shows_without(road, technician, 2)
    refused = technician_client.post(address(pop, "proven-after"), {"shows": "0"})
    assert refused.status_code == 422
    technician_client.post(address(pop, "proven-after"), {"shows": "2"})
    assert line(pop).ready


def test_a_fault_that_is_back_starts_its_count_anew(pop, road, technician):
    settle_fault(collection=road.collection, by=technician, fault=pop, outcome="fixed")
    shows_without(road, technician, 3)
    actions.again(fault=pop, by=technician)
    assert line(pop).clean == 0
    page = queries.page_of(line(pop).fault)
    assert [step.words for step in page.way if step.reached] == ["intermittent"]


def test_a_viewer_reads_faults_and_presses_nothing(pop, viewer):
    client = client_of(viewer)
    page = client.get(address(pop))
    assert page.status_code == 200
    assert "It did it again" not in page.content.decode()
    before = Event.objects.count()
    assert client.post(address(pop, "press", "again")).status_code == 403
    assert client.post(address(pop, "proven-after"), {"shows": "1"}).status_code == 403
    assert Event.objects.count() == before


def test_an_unknown_press_is_not_found(pop, technician_client):
    assert technician_client.post(address(pop, "press", "vanished")).status_code == 404


def test_the_board_asks_the_same_few_queries(
    pop, technician, technician_client, django_assert_max_num_queries
):
    url = f"/{pop.collection.slug}/bench/faults/"
    with django_assert_max_num_queries(8) as few:
        technician_client.get(url)
    for symptom in ("hum", "hiss", "buzz"):
        fault(collection=pop.collection, by=technician, code="A-018", symptom=symptom)
    with django_assert_max_num_queries(len(few)):
        technician_client.get(url)

"""Makers, designs and circuits: added, changed, declared close."""

import pytest

from collection.catalogue.actions import add_circuit
from collection.catalogue.models import Circuit, Design, Maker

NO_POSITIONS = {"position-TOTAL_FORMS": "0", "position-INITIAL_FORMS": "0"}


@pytest.fixture
def post(technician, technician_client):
    return lambda path, typed: technician_client.post(
        f"/{technician.collection.slug}/pieces/{path}", typed, follow=True
    )


def lines(*positions):
    """The typed lines of a chart."""
    typed = {"position-TOTAL_FORMS": str(len(positions)), "position-INITIAL_FORMS": "0"}
    for number, position in enumerate(positions):
        typed |= {f"position-{number}-{name}": value for name, value in position.items()}
    return typed


def test_a_maker_is_added_and_renamed(technician, post):
    assert "Corrie is written." in post("makers/add/", {"name": "Corrie"}).content.decode()
    maker = Maker.objects.of(technician.collection).get()
    post(f"makers/{maker.pk}/", {"name": "Corrie & Son", "note": "since 1949"})
    maker.refresh_from_db()
    assert (maker.name, maker.note) == ("Corrie & Son", "since 1949")


def test_a_maker_is_not_written_twice(technician, post):
    post("makers/add/", {"name": "Corrie"})
    assert "in the register already" in post("makers/add/", {"name": "corrie"}).content.decode()


def test_a_design_is_added_with_its_maker_and_changed(technician, post):
    typed = {"maker": "Corrie", "kind": "instrument", "name": "Linnet", "produced": "1958 to 1963",
             "panel": "volume\ntone", "warm_up_minutes": "0", "check_minutes": "5"}  # fmt: skip
    post("designs/add/", typed)
    design = Design.objects.of(technician.collection).get()
    assert (str(design.maker), design.produced) == ("Corrie", "1958/1963")
    assert design.panel == ["volume", "tone"]
    assert "of this name already" in post("designs/add/", typed).content.decode()
    post(f"designs/{design.pk}/", {**typed, "produced": "about 1960"})
    design.refresh_from_db()
    assert design.produced == "1960~"


def test_a_circuit_is_added_with_its_positions_in_order(technician, post):
    chart = lines({"name": "V2", "fits": "EL84"}, {"name": ""}, {"name": "V1", "does": "input",
                  "fits": "12AX7, 12AY7", "grade": "V1-quiet"})  # fmt: skip
    post("circuits/add/", {"name": "BR-12/B", "bias": "cathode", **chart})
    circuit = Circuit.objects.of(technician.collection).get()
    assert [(p.name, p.fits) for p in circuit.positions.all()] == [
        ("V2", ["EL84"]), ("V1", ["12AX7", "12AY7"])
    ]  # fmt: skip


def test_positions_are_changed_and_taken_out(technician, technician_client, post):
    circuit = add_circuit(collection=technician.collection, name="BR-12/B", positions=(
        {"name": "V1", "fits": ["12AX7"]}, {"name": "V2", "fits": ["EL84"]}))  # fmt: skip
    address = f"/{technician.collection.slug}/pieces/circuits/{circuit.pk}/"
    assert 'value="12AX7"' in technician_client.get(address).content.decode()
    chart = lines({"name": "V1", "fits": "12AY7"}, {"name": "", "fits": ""})
    post(f"circuits/{circuit.pk}/", {"name": "BR-12/B", "bias": "none", **chart})
    assert [(p.name, p.fits) for p in circuit.positions.all()] == [("V1", ["12AY7"])]


@pytest.mark.parametrize(
    ("chart", "refusal"),
    [
        (lines({"name": "V1"}, {"name": "V1"}), "Two positions are called V1."),
        (lines({"name": "", "fits": "EL84"}), "Give the position a name"),
    ],
)
def test_a_chart_that_cannot_be_read_is_refused_with_what_was_typed(
    technician, post, chart, refusal
):
    page = post("circuits/add/", {"name": "BR-12/B", "bias": "none", **chart}).content.decode()
    assert refusal in page
    assert 'value="BR-12/B"' in page
    assert not Circuit.objects.of(technician.collection).exists()


def test_circuits_declared_close_are_close_both_ways(technician, post):
    one = add_circuit(collection=technician.collection, name="BR-12/B")
    other = add_circuit(collection=technician.collection, name="BR-12/C")
    post(f"circuits/{one.pk}/",
         {"name": "BR-12/B", "bias": "none", "close_to": [other.pk], **NO_POSITIONS})  # fmt: skip
    assert list(other.close_to.all()) == [one]


def test_a_circuit_of_another_collection_cannot_be_declared_close(technician, stranger, post):
    one = add_circuit(collection=technician.collection, name="BR-12/B")
    add_circuit(collection=technician.collection, name="BR-12/C")
    theirs = add_circuit(collection=stranger.collection, name="HB-50/1")
    post(f"circuits/{one.pk}/",
         {"name": "BR-12/B", "bias": "none", "close_to": [theirs.pk], **NO_POSITIONS})  # fmt: skip
    assert not one.close_to.exists()

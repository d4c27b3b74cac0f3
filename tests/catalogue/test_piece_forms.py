"""Adding and editing a piece: codes, years, serials, and who may."""

import re

import pytest

from collection.catalogue.actions import add_design, add_maker, add_piece
from collection.catalogue.forms import PieceForm
from collection.catalogue.models import Piece
from collection.ledger.models import Event
from tests.builders import client_of

TYPED = {"kind": "amplifier", "value_currency": ""}


@pytest.fixture
def add(technician, technician_client):
    address = f"/{technician.collection.slug}/pieces/add/"
    return lambda **typed: technician_client.post(address, {**TYPED, **typed})


@pytest.fixture
def edit(technician, technician_client):
    address = f"/{technician.collection.slug}/pieces/A-001/edit/"
    return lambda **typed: technician_client.post(address, {**TYPED, **typed}, follow=True)


def piece(member, code="A-001"):
    return Piece.objects.of(member.collection).get(code=code)


def test_without_a_code_a_piece_gets_the_next_of_its_letter(technician, add):
    add()
    add(kind="instrument")
    assert add().headers["Location"].endswith("/pieces/A-002/")
    assert set(Piece.objects.of(technician.collection).values_list("code", flat=True)) == {
        "A-001", "A-002", "G-001"
    }  # fmt: skip


def test_a_double_tap_adds_one_piece(technician, add):
    first, second = add(once="tap"), add(once="tap")
    assert first.headers["Location"] == second.headers["Location"]
    assert Piece.objects.of(technician.collection).count() == 1
    assert Event.objects.of(technician.collection).count() == 1


def test_the_form_carries_what_tells_a_double_tap(technician, technician_client):
    page = technician_client.get(f"/{technician.collection.slug}/pieces/add/").content.decode()
    assert 'name="once"' in page


def test_the_next_code_follows_the_letter_this_collection_uses_for_the_kind(technician, add):
    add(code="HEAD-007")
    assert add().headers["Location"].endswith("/pieces/HEAD-008/")


def test_a_letter_alone_means_the_next_of_that_letter(technician, add):
    add(code="B-041")
    assert add(code="b").headers["Location"].endswith("/pieces/B-042/")


def test_a_taken_code_is_refused_beside_its_field_with_the_next_free(technician, add):
    add(code="A-001")
    page = add(code="A-001", nickname="Old Salt")
    said = page.content.decode()
    assert "A-001 already means something here" in said
    assert "Next free: A-002." in said
    assert 'value="Old Salt"' in said
    assert Piece.objects.of(technician.collection).count() == 1


def test_a_code_of_another_form_is_refused(technician, add):
    assert "A code looks like A-007" in add(code="seven!").content.decode()


@pytest.mark.parametrize(
    ("said", "kept"), [("about 1961", "1961~"), ("1958 to 1960", "1958/1960"), ("1953", "1953")]
)
def test_a_year_is_read_as_people_say_it(technician, add, said, kept):
    add(year=said)
    assert piece(technician).year == kept


def test_a_year_that_cannot_be_read_keeps_what_was_typed(technician, add):
    page = add(year="the summer of love", serial="2845B").content.decode()
    assert "This year cannot be read" in page
    assert 'value="the summer of love"' in page
    assert 'value="2845B"' in page
    assert not Piece.objects.of(technician.collection).exists()


def groups_of(page):
    """(whether it stands open, its text) of every part of the form that folds."""
    return re.findall(r"<details( open)?>(.*?)</details>", page, re.DOTALL)


def test_five_things_are_asked_first_and_the_rest_is_folded(technician, technician_client):
    page = technician_client.get(f"/{technician.collection.slug}/pieces/add/").content.decode()
    before, _, rest = page.partition("<details")
    asked = re.findall(r'<(?:input|select|textarea)[^>]* name="(\w+)"', before)
    assert [name for name in asked if name not in ("csrfmiddlewaretoken", "once")][-5:] == [
        "kind", "code", "maker", "name", "serial"
    ]  # fmt: skip
    assert 'name="year"' in rest
    assert not any(is_open for is_open, _ in groups_of(page))


def test_what_is_refused_opens_its_part_of_the_form(technician, add):
    groups = groups_of(add(year="the summer of love").content.decode())
    assert [bool(is_open) for is_open, _ in groups] == ['name="year"' in text for _, text in groups]
    assert sum(bool(is_open) for is_open, _ in groups) == 1


def test_every_field_of_a_piece_is_asked_once(technician):
    form = PieceForm(collection=technician.collection)
    asked = [*form.first_fields(), *(field for group in form.groups() for field in group.fields)]
    assert sorted(field.name for field in asked) == sorted(set(form.fields) - {"once"})


def test_the_reading_of_a_year_is_echoed(technician, technician_client):
    address = f"/{technician.collection.slug}/pieces/read-year/"
    said = technician_client.get(address, {"year": "about 1961"}).content.decode()
    assert said == "Read as 1961~, about 1961"
    assert "Cannot be read" in technician_client.get(address, {"year": "<b>"}).content.decode()
    assert "<b>" not in technician_client.get(address, {"year": "<b>"}).content.decode()


def test_a_serial_another_piece_has_is_allowed_and_names_it(technician, technician_client, add):
    add(serial="5O2-1", name="Harbour 50")
    answer = add(serial="5o2 1")
    page = technician_client.get(answer.headers["Location"]).content.decode()
    assert "is also on A-001 Harbour 50" in page
    assert Piece.objects.of(technician.collection).count() == 2


def test_a_maker_not_yet_in_the_register_is_added_once(technician, add):
    add(maker="Holm Electric")
    add(maker="Holm Electric")
    assert piece(technician).maker == piece(technician, "A-002").maker


def test_a_design_brings_its_maker_and_no_other(technician, add):
    maker = add_maker(collection=technician.collection, name="Holm Electric")
    design = add_design(
        collection=technician.collection, maker=maker, kind="amplifier", name="Harbour 50"
    )
    add(design=design.pk)
    assert piece(technician).maker == maker
    page = add(design=design.pk, maker="Brannoch").content.decode()
    assert "was drawn by Holm Electric, not by Brannoch" in page


def test_a_value_is_kept_in_minor_units_of_its_currency(technician, add):
    add(value="4800.50", value_currency="gbp")
    add(value="4800", value_currency="jpy")
    kept = Piece.objects.of(technician.collection).order_by("code")
    assert list(kept.values_list("value_minor", "value_currency")) == [
        (480050, "GBP"), (4800, "JPY")
    ]  # fmt: skip


def test_the_form_shows_what_is_written_and_saving_it_unchanged_writes_nothing(
    technician, technician_client
):
    add_piece(collection=technician.collection, by=technician, code="A-001", kind="amplifier",
              mass_grams=21400, marks=["rope handle", "burn"], value_minor=480000,
              value_currency="GBP", year="1961~")  # fmt: skip
    address = f"/{technician.collection.slug}/pieces/A-001/edit/"
    form = technician_client.get(address).context["form"]
    typed = {field.html_name: field.value() for field in form if field.value() is not None}
    assert typed["mass_kg"] * 1000 == 21400
    assert typed["marks"] == "rope handle\nburn"
    before = Event.objects.of(technician.collection).count()
    technician_client.post(address, typed)
    assert Event.objects.of(technician.collection).count() == before


def test_an_edit_is_written_in_the_book_without_the_hidden_mark(technician, edit):
    add_piece(collection=technician.collection, by=technician, code="A-001", kind="amplifier")
    page = edit(finish="grey cloth", hidden_mark="blue dot under the choke")
    assert "grey cloth" in page.content.decode()
    entry = Event.objects.of(technician.collection).filter(kind="described").last()
    assert ["finish", "grey cloth"] in entry.facts["said"]
    assert ["hidden mark", "noted"] in entry.facts["said"]
    assert "blue dot" not in str(entry.facts)


def test_a_twin_is_another_piece_of_this_collection(technician, stranger, edit):
    for member, code in ((technician, "A-001"), (technician, "A-002"), (stranger, "A-077")):
        add_piece(collection=member.collection, by=member, code=code, kind="amplifier")
    assert "No piece here is called A-077" in edit(twin="A-077").content.decode()
    assert "not its own twin" in edit(twin="A-001").content.decode()
    edit(twin="a-002")
    assert piece(technician).twin.code == "A-002"


def test_a_viewer_can_neither_add_nor_edit(technician, viewer):
    add_piece(collection=technician.collection, by=technician, code="A-001", kind="amplifier")
    client, slug = client_of(viewer), viewer.collection.slug
    for path in ("add/", "A-001/edit/", "A-001/photos/add/", "designs/add/", "makers/add/",
                 "circuits/add/"):  # fmt: skip
        assert client.get(f"/{slug}/pieces/{path}").status_code == 403
        assert client.post(f"/{slug}/pieces/{path}", TYPED).status_code == 403
    assert Piece.objects.of(viewer.collection).count() == 1

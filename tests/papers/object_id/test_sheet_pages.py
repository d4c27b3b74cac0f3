"""The Object ID sheet as a page and as a paper.

Source: ICOM archive, Object ID checklist: nine questions, photographs of the whole and of what
distinguishes it; 'not recorded' for what nobody filled is a house rule.
"""

import io

import pikepdf
import pytest

from collection.catalogue.actions import add_photo, add_piece
from collection.core.object_id import HEADINGS
from collection.custody import actions as custody
from collection.papers.models import PaperMade
from tests.builders import client_of
from tests.catalogue.photo_samples import drawn, saved
from tests.typesetting.reading import text_of

MARK = "MV-3A-17"


@pytest.fixture(autouse=True)
def photo_folder(settings, tmp_path):
    settings.PHOTOS = tmp_path


@pytest.fixture
def piece(collection, technician):
    return add_piece(
        collection=collection, by=technician, code="G-303", kind="instrument", family="lap steel",
        name="Long Eight", serial="L8-5I-04B7", hidden_mark=MARK, marks=["filled screw hole"],
    )  # fmt: skip


@pytest.fixture
def client(technician):
    return client_of(technician)


def address(piece):
    return f"/{piece.collection.slug}/papers/object-id/{piece.code}/"


def hang(piece, by, view, *, shade, shows_mark=False):
    photo = add_photo(
        collection=piece.collection, by=by, subject=piece.subject, view=view,
        data=saved(drawn((64, 40 + shade)), "PNG"),
    )  # fmt: skip
    photo.shows_mark = shows_mark
    photo.save(update_fields=["shows_mark"])
    return photo


def test_the_page_has_every_heading_and_says_not_recorded(client, piece):
    page = client.get(address(piece)).content.decode()
    for _, name in HEADINGS:
        assert f"<dt>{name}</dt>" in page
    assert page.count("not recorded</span>") == 9
    assert "L8-5I-04B7" in page
    assert "letter I" in page


def test_the_paper_says_the_same_and_never_the_hidden_mark(client, piece):
    pdf = client.post(address(piece)).content
    text = text_of(pdf).replace(" ", "")
    assert text.count("notrecorded") == 9 + 1
    assert "filledscrewhole" in text
    assert MARK not in text
    assert MARK.encode() not in pdf


def test_words_that_name_somebody_are_said_to_be_kept_back(client, piece, technician):
    custody.add_party(collection=piece.collection, by=technician, name="Elspeth Muir", code="N-303")
    piece.marks = ["filled screw hole", "scratched ‘Muir’ inside"]
    piece.save()
    page = client.get(address(piece)).content.decode()
    assert "Muir" not in page
    assert "recorded, kept back" in page
    assert "Muir" not in text_of(client.post(address(piece)).content)


def test_missing_photos_are_flagged_until_there_is_one_of_each(client, piece, technician):
    page = client.get(address(piece)).content.decode()
    assert "No photo of the whole piece" in page
    assert "No photo of what tells it from its twins" in page
    hang(piece, technician, "front", shade=1)
    hang(piece, technician, "scar", shade=2)
    page = client.get(address(piece)).content.decode()
    assert "No photo of" not in page


def test_a_photo_that_shows_a_mark_held_back_does_not_count_and_is_not_printed(
    client, piece, technician
):
    hang(piece, technician, "scar", shade=1, shows_mark=True)
    hang(piece, technician, "front", shade=2)
    assert "No photo of what tells it" in client.get(address(piece)).content.decode()
    with pikepdf.open(io.BytesIO(client.post(address(piece)).content)) as pdf:
        told = [
            str(o.Alt) for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/Alt" in o
        ]
    assert told == ["Front of G-303"]


def test_a_sheet_made_is_kept_by_its_hash_once_a_press(client, piece):
    for _ in range(2):
        assert client.post(address(piece), {"once": "7" * 32}).status_code == 200
    record = PaperMade.objects.get()
    assert record.get_paper_display() == "Object ID sheet"
    assert record.entries == []


def test_who_only_looks_gets_no_sheet(viewer_client, piece):
    assert viewer_client.get(address(piece)).status_code == 403


def test_the_page_asks_few_questions(client, piece, technician, django_assert_max_num_queries):
    for shade in range(4):
        hang(piece, technician, "other", shade=shade)
    with django_assert_max_num_queries(13):
        client.get(address(piece))

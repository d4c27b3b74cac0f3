"""The record page of a piece, and tags that an import proposed."""

import pytest

from collection.bench import actions
from collection.bench.queries import proposed_tags, state_of
from collection.catalogue.models import Piece
from collection.custody.actions import add_place, move
from collection.ledger import proof
from collection.ledger.actions import note
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from tests.bench.builders import a_piece, address

pytestmark = pytest.mark.django_db


def test_the_last_three_entries_are_shown_newest_first(technician, technician_client):
    amp = a_piece(technician)
    for line in ("one", "two", "three", "four"):
        told = Telling(words=f"{line} said", happened="2026-01-01")
        note(collection=amp.collection, by=technician, subject=amp.code, telling=told)
    page = technician_client.get(address(amp)).content.decode()
    # The newest of the three is that the piece was entered in the register today.
    assert page.index("four said") < page.index("three said")
    assert "two said" not in page


def test_what_cannot_be_done_is_not_offered(technician, technician_client):
    amp = a_piece(technician)
    page = technician_client.get(address(amp)).content.decode()
    assert "Settle a fault" not in page
    assert "Take the tag off" not in page
    actions.fault(collection=amp.collection, by=technician, code=amp.code, symptom="hum")
    actions.tag_out(collection=amp.collection, by=technician, code=amp.code, reason="smoke")
    page = technician_client.get(address(amp)).content.decode()
    assert "Settle a fault" in page
    assert "Take the tag off" in page


def test_a_page_asks_as_often_for_many_faults_as_for_one(
    technician, technician_client, django_assert_max_num_queries
):
    amp = a_piece(technician)
    for number in range(12):
        actions.fault(
            collection=amp.collection, by=technician, code=amp.code, symptom=f"hum {number}"
        )
    with django_assert_max_num_queries(13):
        technician_client.get(address(amp))


def test_choosing_a_piece_asks_as_often_for_many_as_for_one(
    technician, technician_client, django_assert_max_num_queries
):
    for _ in range(12):
        a_piece(technician, kind="instrument")
    with django_assert_max_num_queries(7):
        technician_client.get(f"/{technician.collection.slug}/bench/record/")


@pytest.fixture
def proposed(technician):
    pieces = [a_piece(technician) for _ in range(3)]
    for piece in pieces:
        actions.tag_out(
            collection=piece.collection, by=technician, code=piece.code,
            reason="smells hot, don't use", proposed=True,
        )  # fmt: skip
    return pieces


def tagged(piece: Piece):
    return state_of(Piece.objects.select_related("subject__state").get(pk=piece.pk)).tag


def press(client, collection, do, events):
    sent = {"do": do, "entry": [event.sequence for event in events]}
    return client.post(f"/{collection.slug}/bench/proposed-tags/", sent)


def test_all_proposed_tags_are_hung_at_once(technician_client, collection, proposed):
    page = technician_client.get(f"/{collection.slug}/bench/proposed-tags/").content.decode()
    assert "Hang all 3" in page
    assert "smells hot" in page
    shown = [one.event for one in proposed_tags(collection)]
    assert press(technician_client, collection, "hang", shown).status_code == 302
    assert all(tagged(piece).proposed is False for piece in proposed)
    assert proposed_tags(collection) == []
    assert Event.objects.of(collection).filter(kind="tagged_out").values("act").distinct().count()
    assert proof.verify(collection).fits


def test_all_proposed_tags_are_dropped_at_once_and_stay_readable(
    technician_client, collection, proposed
):
    shown = [one.event for one in proposed_tags(collection)]
    press(technician_client, collection, "drop", shown)
    assert all(tagged(piece) is None for piece in proposed)
    assert Event.objects.of(collection).filter(kind="tagged_out").count() == 3
    page = technician_client.get(f"/{collection.slug}/bench/proposed-tags/").content.decode()
    assert "None is waiting" in page


def test_a_tag_that_was_not_shown_is_not_decided(technician_client, collection, proposed):
    one = proposed_tags(collection)[0]
    press(technician_client, collection, "hang", [one.event])
    assert [left.piece for left in proposed_tags(collection)] == proposed[1:]


def test_the_last_entries_name_a_place_and_not_its_code(technician, technician_client):
    amp = a_piece(technician)
    bay = add_place(collection=amp.collection, by=technician, name="Bay 2", kind="room")
    move(collection=amp.collection, by=technician, code=amp.code, to=bay.code)
    page = technician_client.get(address(amp)).content.decode()
    assert "Moved to Bay 2." in page
    assert f"Moved to {bay.code}" not in page


def test_a_note_written_is_said_back_in_its_words(technician, technician_client):
    amp = a_piece(technician)
    sent = {"words": "standby switch wobbles"}
    page = technician_client.post(f"{address(amp)}noted/", sent, follow=True).content.decode()
    said = page[page.index('class="messages"') :]
    assert ": standby switch wobbles" in said[: said.index("</ul>")]


def test_a_move_is_said_in_the_same_words_here_and_on_the_page_of_the_piece(
    technician, technician_client
):
    """A case has moved on since: where it stood then is not told by where it stands now."""
    who = {"collection": technician.collection, "by": technician}
    house = add_place(**who, name="Carlisle warehouse", kind="site", code="P-001")
    add_place(**who, name="case seven", kind="case", code="CASE-07", inside=house)
    piece = a_piece(technician, code="A-007")
    move(**who, code=piece.code, to="CASE-07")
    slug = technician.collection.slug
    for path in (f"/{slug}/bench/record/A-007/", f"/{slug}/pieces/A-007/"):
        page = technician_client.get(path).content.decode()
        assert "Moved to case seven." in page, path
        assert "Moved to Carlisle warehouse, case seven" not in page, path

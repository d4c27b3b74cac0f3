"""Seals on pages: made by a keeper, printed, handed over, checked by whoever records."""

import json

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.custody import actions as custody
from collection.ledger.actions import note
from collection.ledger.models import Event
from collection.ledger.sealing import queries
from collection.ledger.telling import Telling
from tests.builders import client_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def broker(collection, keeper):
    """A broker who can be given a copy; the book has an entry to seal."""
    who = {"collection": collection, "by": keeper}
    party = custody.add_party(**who, name="The broker", does="insurance", email="b@gear.example")
    custody.add_place(**who, name="Bay 1", kind="room", code="P-001")
    note(**who, subject="P-001", telling=Telling(words="swept"))
    return party


def at(collection, path=""):
    return f"/{collection.slug}/papers/seals/{path}"


def seal_it(client, collection, **given):
    return client.post(at(collection, "now/"), given, follow=True)


def test_a_keeper_seals_the_book_and_sees_it_large(keeper_client, collection, broker):
    answer = seal_it(keeper_client, collection, held_by=broker.code, went_to="the safe")
    (kept,) = queries.seals(collection)
    page = answer.content.decode()
    assert f'<span class="stencil">{kept.seal.size}</span>' in page
    assert all(group in page for group in kept.seal.groups)
    assert "The broker; the safe" in page
    assert "nor that what was written is true" in page


def test_two_taps_make_one_seal(keeper_client, collection, broker):
    for _ in range(2):
        seal_it(keeper_client, collection, once="tap")
    assert len(queries.seals(collection)) == 1


def test_only_a_keeper_seals_and_a_viewer_reads(
    technician_client, viewer_client, keeper_client, collection, broker
):
    seal_it(keeper_client, collection)
    assert technician_client.get(at(collection, "now/")).status_code == 403
    assert viewer_client.get(at(collection, "check/")).status_code == 403
    assert viewer_client.get(at(collection)).status_code == 200
    assert b"nobody has a copy" in viewer_client.get(at(collection)).content


def test_the_list_asks_the_same_number_of_questions_however_long(keeper_client, collection, broker):
    def asked():
        with CaptureQueriesContext(connection) as found:
            keeper_client.get(at(collection))
        return len(found)

    seal_it(keeper_client, collection)
    few = asked()
    for _ in range(5):
        seal_it(keeper_client, collection, held_by=broker.code)
    assert asked() == few <= 10


def test_a_seal_is_checked_as_pasted_and_as_its_file(
    keeper_client, technician_client, collection, broker, tmp_path
):
    seal_it(keeper_client, collection)
    kept = queries.seals(collection)[0]
    file = keeper_client.get(at(collection, f"{kept.code}/file/"))
    assert json.loads(file.content) == kept.seal.to_json()
    path = tmp_path / "seal.json"
    path.write_bytes(file.content)
    pasted = technician_client.post(at(collection, "check/"), {"seal": kept.seal.pair})
    with path.open("rb") as opened:
        filed = technician_client.post(at(collection, "check/"), {"file": opened})
    for answer in (pasted, filed):
        assert b"is still there, unchanged, in that order" in answer.content
    Event.objects.of(collection).filter(sequence=0).update(happened="1999")
    wrong = technician_client.post(at(collection, "check/"), {"seal": kept.seal.pair})
    assert b"Entry 0 is not what was sealed" in wrong.content


@pytest.mark.parametrize(
    ("given", "said"),
    [({}, b"Paste a seal or choose"), ({"seal": "7:abc"}, b"64 hex digits"),
     ({"seal": "hello"}, b"reads like")],
)  # fmt: skip
def test_what_is_no_seal_is_refused_beside_the_field(technician_client, collection, given, said):
    answer = technician_client.post(at(collection, "check/"), given)
    assert answer.status_code == 422
    assert said in answer.content
    assert given.get("seal", "").encode() in answer.content


def test_a_file_that_is_no_text_is_refused(technician_client, collection, tmp_path):
    path = tmp_path / "seal.json"
    path.write_bytes(b"\xff\xfe\x00")
    with path.open("rb") as opened:
        answer = technician_client.post(at(collection, "check/"), {"file": opened})
    assert b"no text, so it is no seal" in answer.content


def test_somebody_else_has_a_copy_later(keeper_client, collection, broker):
    seal_it(keeper_client, collection)
    code = queries.seals(collection)[0].code
    refused = keeper_client.post(at(collection, f"{code}/copy/"), {})
    assert refused.status_code == 422
    keeper_client.post(at(collection, f"{code}/copy/"), {"held_by": broker.code})
    assert b"The broker" in keeper_client.get(at(collection)).content


def test_who_had_a_copy_before_is_asked_first(keeper_client, collection, keeper, broker):
    custody.add_party(collection=collection, by=keeper, name="A dealer")
    asked = keeper_client.get(at(collection, "now/")).content.decode()
    assert asked.index("A dealer") < asked.index("The broker")
    seal_it(keeper_client, collection, held_by=broker.code)
    asked = keeper_client.get(at(collection, "now/")).content.decode()
    assert asked.index("The broker") < asked.index("A dealer")


def test_an_empty_book_is_not_sealed(keeper, collection):
    answer = client_of(keeper).post(at(collection, "now/"), {})
    assert b"nothing to seal" in answer.content

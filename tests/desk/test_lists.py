"""Lists as files: narrowed as the page, harmless to open, numbers as numbers."""

import csv
import io

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.catalogue.actions import add_piece
from collection.core.cells import BOM
from collection.custody import actions as custody
from collection.desk.lists.views import LISTINGS
from collection.ledger.actions import note
from collection.ledger.telling import Telling

pytestmark = pytest.mark.django_db


@pytest.fixture
def who(collection, keeper):
    return {"collection": collection, "by": keeper}


@pytest.fixture
def full(who):
    custody.add_place(**who, name="The house", kind="house", code="P-001", private=True)
    custody.add_party(**who, name="The broker", phone="-555 0117", code="N-001")
    add_piece(
        **who, code="A-007", kind="amplifier", name="=1+1", serial="-0042", nickname="+loud",
        value_minor=640050, value_currency="EUR", mass_grams=12500,
    )  # fmt: skip
    add_piece(**who, code="G-001", kind="instrument", name="@cmd", serial="0042")
    custody.move(**who, code="A-007", to="P-001")
    note(**who, subject="A-007", telling=Telling(words="\tSUM(A1)"))
    note(**who, subject="A-007", telling=Telling(words='\rline, with "quotes"\nand more'))
    return who["collection"]


def file_of(client, collection, name, query=""):
    answer = client.get(f"/{collection.slug}/lists/{name}/{query}")
    assert answer.status_code == 200
    return b"".join(answer.streaming_content)


def read(client, collection, name, query=""):
    text = file_of(client, collection, name, query).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("name", sorted(LISTINGS))
def test_every_list_is_a_table_with_a_row_of_headings_and_a_mark_of_its_encoding(
    full, keeper_client, name
):
    data = file_of(keeper_client, full, name)
    assert data.startswith(BOM.encode())
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert len({len(row) for row in rows}) == 1
    assert len(set(rows[0])) == len(rows[0])


def test_what_a_spreadsheet_would_run_has_an_apostrophe_and_numbers_have_none(full, keeper_client):
    amplifier, guitar = read(keeper_client, full, "pieces")
    assert (amplifier["called"], guitar["called"]) == ("'=1+1", "'@cmd")
    assert (amplifier["serial"], guitar["serial"]) == ("'-0042", "0042")
    assert amplifier["nickname"] == "'+loud"
    assert (amplifier["agreed value"], amplifier["kg"]) == ("6400.50", "12.5")
    assert read(keeper_client, full, "parties")[0]["telephone"] == "'-555 0117"
    words = [row["words"] for row in read(keeper_client, full, "book")]
    assert "'\tSUM(A1)" in words
    assert '\'\rline, with "quotes"\nand more' in words


def test_a_list_is_narrowed_and_sorted_as_its_page(full, keeper_client):
    assert [row["code"] for row in read(keeper_client, full, "pieces", "?kind=instrument")] == [
        "G-001"
    ]
    assert [row["code"] for row in read(keeper_client, full, "pieces", "?q=a-007")] == ["A-007"]
    named = read(keeper_client, full, "book", "?subject=A-007")
    assert {row["about"] for row in named} == {"A-007"}
    assert {row["kind"] for row in read(keeper_client, full, "book", "?kind=noted")} == {"noted"}


def test_a_page_links_to_its_file_narrowed_as_it_is(full, keeper_client):
    page = keeper_client.get(f"/{full.slug}/pieces/?kind=instrument&page=1").content.decode()
    assert f'href="/{full.slug}/lists/pieces/?kind=instrument"' in page
    for path in ("places/", "places/people/", "book/", "bench/faults/", "bench/jobs/"):
        assert (
            f'href="/{full.slug}/lists/'
            in keeper_client.get(f"/{full.slug}/{path}").content.decode()
        ), path


def test_a_viewer_gets_no_values_telephones_or_private_places(full, viewer_client):
    (amplifier, _) = read(viewer_client, full, "pieces")
    assert not {"agreed value", "currency"} & amplifier.keys()
    assert "The house" not in amplifier["where"]
    assert not {"telephone", "mail", "note"} & read(viewer_client, full, "parties")[0].keys()
    places = file_of(viewer_client, full, "places").decode()
    assert "The house" not in places
    assert "latitude" not in places


@pytest.mark.parametrize("name", sorted(LISTINGS))
def test_a_longer_list_asks_no_more_questions(full, who, keeper_client, name):
    def asked():
        with CaptureQueriesContext(connection) as found:
            file_of(keeper_client, full, name)
        return len(found)

    few = asked()
    for number in range(5):
        add_piece(**who, code=f"E-{number:03}", kind="effect")
        custody.add_party(**who, name=f"Firm {number}")
        custody.add_place(**who, name=f"Bay {number}", kind="room")
    assert asked() == few


def test_a_list_that_is_none_is_not_found(full, keeper_client):
    assert keeper_client.get(f"/{full.slug}/lists/spells/").status_code == 404


def test_the_page_of_lists_names_each_with_its_columns(full, viewer_client, keeper_client):
    page = keeper_client.get(f"/{full.slug}/lists/").content.decode()
    assert all(one.title in page for one in LISTINGS.values())
    assert "agreed value" in page
    assert "agreed value" not in viewer_client.get(f"/{full.slug}/lists/").content.decode()

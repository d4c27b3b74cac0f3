"""The list of pieces: every filter, both views, order, and a fixed number of queries."""

import re
from datetime import date

import pytest

from collection.bench import actions as bench
from collection.catalogue import actions as catalogue
from collection.core.events.told_working import ToldWorking
from collection.core.state import from_json
from collection.core.working import VERDICTS, working
from collection.custody import actions as custody
from collection.desk.queries.pieces import amounting_to, listed
from collection.ledger.actions import open_book
from tests.builders import client_of
from tests.desk.piece_builders import (
    a_piece,
    a_place,
    days_ago,
    hung,
    proved,
    put,
    stolen,
)


def address(member, path=""):
    return f"/{member.collection.slug}/pieces/{path}"


def codes(client, member, asked=""):
    """Codes of the lines shown, in order."""
    page = client.get(address(member, asked)).content.decode()
    found = page.split('id="found"')[1]
    return re.findall(r'<a href="/[\w-]+/pieces/([A-Z]+-\d+)/"', found)


@pytest.fixture
def ask(technician, technician_client):
    return lambda asked: codes(technician_client, technician, asked)


def test_an_empty_register_says_how_to_begin(technician, technician_client, viewer_client):
    page = technician_client.get(address(technician)).content.decode()
    assert "No piece is in the register yet" in page
    assert address(technician, "add/") in page
    assert (
        address(technician, "add/") not in viewer_client.get(address(technician)).content.decode()
    )


def test_nothing_found_is_another_sentence_than_nothing_there(technician, technician_client):
    a_piece(technician)
    page = technician_client.get(address(technician, "?q=zither")).content.decode()
    assert "No piece answers to that" in page
    assert "0 pieces" in page


def test_the_kind_narrows(technician, ask):
    a_piece(technician, "A-001")
    a_piece(technician, "G-001", kind="instrument")
    assert ask("?kind=instrument") == ["G-001"]


def test_the_circuit_narrows(technician, ask):
    circuit = catalogue.add_circuit(collection=technician.collection, name="HB-50/2")
    a_piece(technician, "A-001", circuit=circuit)
    a_piece(technician, "A-002")
    assert ask("?circuit=HB-50/2") == ["A-001"]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("built_from=1966&built_to=1970", ["A-002", "A-003"]),
        ("built_from=1963", ["A-002", "A-003"]),
        ("built_to=1962", ["A-001", "A-003"]),
        ("built_from=1966&built_to=1970&unknown_year=too", ["A-002", "A-003", "A-004"]),
        ("unknown_year=only", ["A-004"]),
        ("", ["A-001", "A-002", "A-003", "A-004"]),
    ],
)
def test_a_window_of_years_finds_what_may_have_been_built_in_it(technician, ask, asked, found):
    a_piece(technician, "A-001", year="1962")
    a_piece(technician, "A-002", year="1964/1968")
    a_piece(technician, "A-003", year="1960/..")
    a_piece(technician, "A-004")
    assert ask(f"?{asked}") == found


def test_a_place_finds_what_is_in_it_and_in_everything_in_it(technician, ask):
    warehouse = a_place(technician, "Carlisle warehouse")
    cage = a_place(technician, "parts cage", "room", inside=warehouse)
    elsewhere = a_place(technician, "Utrecht bench")
    for code, place in (("A-001", warehouse), ("A-002", cage), ("A-003", elsewhere)):
        a_piece(technician, code)
        put(technician, code, place)
    assert ask(f"?place={warehouse.code}") == ["A-001", "A-002"]
    assert ask(f"?place={cage.code}") == ["A-002"]


def test_a_viewer_is_not_told_what_stands_in_a_private_place(technician, viewer):
    home = a_place(technician, "Kirkcudbright house", private=True)
    cellar = a_place(technician, "cellar", "room", inside=home)
    a_piece(technician)
    put(technician, "A-001", cellar)
    of_technician, of_viewer = client_of(technician), client_of(viewer)
    assert "Kirkcudbright" in of_technician.get(address(technician)).content.decode()
    for page in ("", f"?place={cellar.code}", "A-001/"):
        said = of_viewer.get(address(viewer, page)).content.decode()
        assert "Kirkcudbright" not in said
        assert "cellar" not in said
    assert "a private place" in of_viewer.get(address(viewer)).content.decode()
    assert codes(of_technician, technician, f"?place={cellar.code}") == ["A-001"]


def _one_of_each_verdict(by):
    for number in range(1, 9):
        a_piece(by, f"A-00{number}")
    proved(by, "A-001")
    proved(by, "A-002", level="powered", days=31)
    proved(by, "A-003")
    put(by, "A-003", a_place(by, "Bergen"), manner="freight-sea")
    bench.fault(collection=by.collection, by=by, code="A-004", symptom="hum",
                telling=days_ago(5))  # fmt: skip
    bench.fault(collection=by.collection, by=by, code="A-005", symptom="pops",
                intermittent=True, telling=days_ago(5))  # fmt: skip
    proved(by, "A-005", days=2)
    with open_book(by.collection, by) as book:
        book.append(ToldWorking("yes"), "A-006", days_ago(9))
        book.append(ToldWorking("no"), "A-007", days_ago(9))


@pytest.mark.parametrize(
    ("verdict", "found"),
    [
        ("fresh", ["A-001"]),
        ("unproven", ["A-002", "A-003", "A-005"]),
        ("not-working", ["A-004", "A-007"]),
        ("told", ["A-006"]),
        ("unknown", ["A-008"]),
    ],
)
def test_working_narrows_by_what_the_evidence_amounts_to(technician, ask, verdict, found):
    _one_of_each_verdict(technician)
    assert ask(f"?working={verdict}") == found


def test_the_query_and_the_rule_agree_on_every_piece(technician):
    _one_of_each_verdict(technician)
    a_piece(technician, "A-009")
    bench.inspect(collection=technician.collection, by=technician, code="A-009",
                  level="powered", result="does-not", telling=days_ago(1))  # fmt: skip
    day = date.fromisoformat(days_ago(0).happened)
    rows = listed(technician.collection)
    by_rule = {
        piece.code: working(from_json(piece.subject.state.detail), today=day).verdict
        for piece in rows
    }
    by_query = {
        piece.code: verdict
        for verdict in VERDICTS
        for piece in rows.filter(amounting_to(verdict, today=day))
    }
    assert by_rule == by_query
    assert len(by_rule) == 9


def test_standing_narrows_and_is_said_in_words(technician, technician_client, ask):
    for code in ("A-001", "A-002", "A-003"):
        a_piece(technician, code)
    stolen(technician, "A-002")
    party = custody.add_party(collection=technician.collection, by=technician, name="Bo Lindgren")
    put(technician, "A-003", a_place(technician, "Odense"), holder=party.code)
    assert ask("?standing=stolen") == ["A-002"]
    assert ask("?standing=lent") == ["A-003"]
    assert ask("?standing=held") == ["A-001"]
    page = technician_client.get(address(technician)).content.decode()
    assert '<span class="state" data-s="gone">stolen</span>' in page


def test_a_hung_tag_a_proposed_one_and_none_are_three_things(technician, ask):
    for code in ("A-001", "A-002", "A-003"):
        a_piece(technician, code)
    hung(technician, "A-001")
    hung(technician, "A-002", "smells hot", proposed=True)
    assert ask("?tagged=out") == ["A-001"]
    assert ask("?tagged=proposed") == ["A-002"]
    assert ask("?tagged=none") == ["A-003"]


@pytest.mark.parametrize("asked", ["a-001", "OLD SALT", "502-i64", "électric", "corrie salt"])
def test_code_nickname_serial_and_maker_are_found_whatever_case_and_accents(technician, ask, asked):
    maker = catalogue.add_maker(collection=technician.collection, name="Corrie Electric")
    a_piece(technician, "A-001", nickname="Old Salt", serial="502-I6407", maker=maker)
    a_piece(technician, "A-002", nickname="Slate")
    assert ask(f"?q={asked}") == ["A-001"]


@pytest.mark.parametrize(
    ("sort", "found"),
    [
        ("code", ["A-001", "A-002", "A-003"]),
        ("name", ["A-002", "A-003", "A-001"]),
        ("built", ["A-003", "A-001", "A-002"]),
        ("seen", ["A-002", "A-001", "A-003"]),
    ],
)
def test_the_list_is_sorted_with_what_is_not_known_last(technician, ask, sort, found):
    a_piece(technician, "A-001", name="Twelve", year="1962")
    a_piece(technician, "A-002", name="Harbour 50")
    a_piece(technician, "A-003", name="Return Two", year="1958")
    place = a_place(technician, "Carlisle")
    put(technician, "A-001", place, telling=days_ago(9))
    put(technician, "A-002", place, telling=days_ago(2))
    assert ask(f"?sort={sort}") == found


def test_a_choice_nobody_offered_is_refused_beside_its_field(technician, technician_client):
    a_piece(technician)
    page = technician_client.get(address(technician, "?kind=zither")).content.decode()
    assert "not on the list here: choose again" in page


def test_a_long_list_is_cut_into_pages_that_keep_what_was_asked(technician, technician_client):
    for number in range(1, 52):
        a_piece(technician, f"A-{number:03}")
    first = technician_client.get(address(technician, "?kind=amplifier"))
    assert len(codes(technician_client, technician, "?kind=amplifier")) == 48
    assert "1 to 48 of 51" in first.content.decode()
    assert "?kind=amplifier&amp;page=2" in first.content.decode()
    assert codes(technician_client, technician, "?kind=amplifier&page=2") == [
        "A-049", "A-050", "A-051"
    ]  # fmt: skip


def test_the_gallery_shows_the_same_pieces(technician, technician_client, ask):
    a_piece(technician)
    page = technician_client.get(address(technician, "?view=gallery")).content.decode()
    assert '<ul class="gallery">' in page
    assert "no photo" in page
    assert ask("?view=gallery") == ["A-001"]


def test_a_part_of_the_page_is_enough_for_htmx(technician, technician_client):
    a_piece(technician)
    answer = technician_client.get(address(technician), headers={"HX-Request": "true"})
    assert answer.content.decode().startswith('<section class="part" id="found"')
    # Else a browser going back takes the part from its cache and shows it as the page.
    assert answer.headers["Cache-Control"] == "no-store"
    assert "HX-Request" in answer.headers["Vary"]


@pytest.mark.parametrize("view", ["", "?view=gallery"])
def test_the_list_takes_the_same_queries_for_three_pieces_and_for_sixty(
    technician, technician_client, django_assert_num_queries, view
):
    place = a_place(technician, "Carlisle")
    for number in range(1, 4):
        a_piece(technician, f"A-{number:03}", serial=f"1{number}")
        put(technician, f"A-{number:03}", place)
    technician_client.get(address(technician, view))
    with django_assert_num_queries(QUERIES):
        technician_client.get(address(technician, view))
    for number in range(4, 61):
        a_piece(technician, f"A-{number:03}", serial=f"1{number}")
        put(technician, f"A-{number:03}", place)
    with django_assert_num_queries(QUERIES):
        technician_client.get(address(technician, view))


QUERIES = 8  # session, person, membership, places, circuits, count, pieces with state, photos


def test_the_list_of_another_collection_is_not_seen(technician, technician_client, stranger):
    a_piece(stranger, "A-077")
    assert codes(technician_client, technician) == []
    assert technician_client.get(address(technician, "A-077/")).status_code == 404
    assert technician_client.get(address(stranger)).status_code == 404

"""Finding a piece by what somebody says: a code, a nickname, a number half read."""

import re

import pytest

from tests.desk.piece_builders import a_piece, stolen


@pytest.fixture
def look(technician, technician_client):
    return lambda text: technician_client.get(f"/{technician.collection.slug}/search/", {"q": text})


def near(page):
    """Codes under 'Serials near it', nearest first."""
    part = page.content.decode().partition("Serials near it")[2]
    return re.findall(r'/pieces/([A-Z]+-\d+)/"', part)


def test_every_page_has_the_search_box(technician, technician_client):
    slug = technician.collection.slug
    for path in ("pieces/", "more/", "pieces/add/"):
        page = technician_client.get(f"/{slug}/{path}").content.decode()
        assert f'role="search" method="get" action="/{slug}/search/"' in page


@pytest.mark.parametrize("said", ["A-001", "a-001", " a-001 "])
def test_a_code_leads_straight_to_its_page(technician, look, said):
    a_piece(technician)
    answer = look(said)
    assert answer.status_code == 302
    assert answer.headers["Location"] == f"/{technician.collection.slug}/pieces/A-001/"


def test_a_nickname_is_found(technician, look):
    a_piece(technician, nickname="Old Salt")
    assert "“Old Salt”" in look("salt").content.decode()


def test_a_half_read_serial_finds_its_candidates_nearest_first(technician, look):
    a_piece(technician, "G-001", serial="2845B")
    a_piece(technician, "G-002", serial="2845-8")
    a_piece(technician, "G-003", serial="99321")
    page = look("2?45B")
    # An unreadable character costs 0.1 and a look-alike 0.25, the house figures of core.serial.
    assert near(page) == ["G-001", "G-002"]
    assert "character 2 unreadable: ? for 8" in page.content.decode()
    assert "never an identity" in page.content.decode()


def test_a_candidate_that_was_stolen_says_so(technician, look):
    a_piece(technician, "G-001", serial="2845B")
    stolen(technician, "G-001")
    part = look("2?45B").content.decode().partition("Serials near it")[2]
    assert 'data-s="gone">stolen' in part


def test_words_without_a_figure_are_no_serial(technician, look):
    a_piece(technician, serial="SALT")
    assert near(look("SALTY")) == []


def test_nothing_found_says_where_it_looked(technician, look):
    assert "No piece has these words" in look("zither").content.decode()


def test_pieces_of_another_collection_are_not_found(technician, stranger, look):
    a_piece(stranger, "A-077", serial="2845B", nickname="Old Salt")
    assert look("A-077").status_code == 200
    assert near(look("2?45B")) == []
    assert "“Old Salt”" not in look("salt").content.decode()


def test_search_takes_the_same_queries_for_few_and_many(
    technician, look, django_assert_max_num_queries
):
    for number in range(3):
        a_piece(technician, f"A-{number:03}", serial=f"500{number}")
    look("500")
    with django_assert_max_num_queries(10) as few:
        look("500?")
    for number in range(3, 30):
        a_piece(technician, f"A-{number:03}", serial=f"50{number:02}")
    with django_assert_max_num_queries(10) as many:
        look("500?")
    assert len(few) == len(many)


@pytest.mark.parametrize("said", ["a7", "A 7", "a-7", "a007"])
def test_a_code_said_short_leads_to_its_page(technician, look, said):
    a_piece(technician, "A-007")
    a_piece(technician, "A-070")
    assert look(said).headers["Location"].endswith("/pieces/A-007/")


def test_a_short_code_that_two_pieces_could_be_is_not_guessed(technician, look):
    a_piece(technician, "A-07")
    a_piece(technician, "A-007")
    assert look("a7").status_code == 200
    assert look("a-07").headers["Location"].endswith("/pieces/A-07/")

"""What `approved` does to the book."""

from collection.core.events.approved import Approved
from collection.core.state import State
from tests.core.book import after, round_trip

FACTS = Approved(20000, "GBP", "N-001", ("A-018",))


def test_an_approval_brings_the_job_on_and_leaves_the_piece():
    assert after(FACTS, State(condition="quoted")).condition == "approved"
    assert after(FACTS, State(condition="back")).condition == "back"
    assert after(FACTS, role="piece-1") == State()


def test_it_says_up_to_how_much_and_on_whose_word():
    assert FACTS.sentence() == "Approved up to 200.00\xa0GBP, on the word of N-001."
    assert Approved(100, "EUR").sentence() == "Approved up to 1.00\xa0EUR."


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS


def test_it_names_whose_word_it_was():
    assert FACTS.names() == {"on_word_of": "N-001", "piece-1": "A-018"}

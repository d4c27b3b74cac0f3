"""What `quoted` does to the book."""

from collection.core.events.quoted import Quoted
from collection.core.state import State
from tests.core.book import after, round_trip

FACTS = Quoted(18500, "GBP", "switch and two joints", ("A-018",))


def test_a_quote_brings_the_job_on_and_leaves_the_piece():
    assert after(FACTS, State(condition="diagnosed")).condition == "quoted"
    assert after(FACTS, State(condition="approved")).condition == "approved"
    assert after(FACTS, role="piece-1") == State()


def test_it_says_the_price_and_what_it_covers():
    assert FACTS.sentence() == "Quoted 185.00\xa0GBP for switch and two joints."
    assert Quoted(1250, "JPY").sentence() == "Quoted 1,250\xa0JPY."


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

"""What `handed_over` does to the book."""

from collection.core.events.handed_over import HandedOver
from collection.core.state import State
from tests.core.book import after, round_trip

FACTS = HandedOver("N-002", "N-012", "ill for three shows.", "2025-10-26")


def test_it_changes_nobody_and_nothing():
    assert after(FACTS, State(condition="out")) == State(condition="out")
    assert after(FACTS, role="incoming") == State()


def test_it_names_both():
    assert FACTS.names() == {"outgoing": "N-002", "incoming": "N-012"}


def test_it_says_who_until_when_and_why():
    assert FACTS.sentence() == (
        "N-012 took over from N-002 until 26 October 2025: ill for three shows."
    )
    assert HandedOver("N-002", "N-012").sentence() == "N-012 took over from N-002."


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

"""What `released` does to the book."""

from collection.core.events.released import Released
from collection.core.state import State
from tests.core.book import after, round_trip

HELD_APART = State(standing="quarantined", incident="I-1")
FACTS = Released(
    "I-1", "N-016", "N-002", "HH 0314-1182", ("repairer's shop", "property store"), ("ab" * 32,)
)


def test_a_release_frees_nothing_by_itself():
    assert after(FACTS, HELD_APART) == HELD_APART


def test_a_release_of_something_not_held_apart_is_a_contradiction():
    assert FACTS.problems({"subject": HELD_APART}) == ()
    assert FACTS.problems({"subject": State(standing="not_found")}) == (
        "The book says it is not found, not waiting in quarantine.",
    )


def test_a_release_says_who_gave_it_to_whom_and_through_whose_hands():
    assert FACTS.sentence() == (
        "Released by N-016 to N-002, reference HH 0314-1182; "
        "chain of custody: repairer's shop; property store."
    )
    assert Released().sentence() == "Released."
    assert FACTS.names() == {"incident": "I-1", "by_whom": "N-016", "to": "N-002"}
    assert Released().names() == {}


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

"""What `stripped_for_parts` does to the book."""

from collection.core.events.stripped_for_parts import StrippedForParts
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_a_donor_is_stripped_and_proves_nothing():
    found = after(StrippedForParts(("T-1",)), proven())
    assert found.standing == "stripped"
    assert found.unproven_because == "stripped for parts"
    assert found.latest("played-hot") is None


def test_parts_taken_from_a_donor_are_fitted_nowhere():
    facts = StrippedForParts(("T-1", "T-2"))
    assert facts.names() == {"part-1": "T-1", "part-2": "T-2"}
    found = after(facts, State(fitted_in="A-007", position="motor", grade="V1"), "part-2")
    assert found == State(grade="V1")


def test_a_stolen_piece_that_was_stripped_is_a_contradiction():
    states = {"subject": State(standing="stolen")}
    expected = "The book says it is stolen, yet it was stripped for parts."
    assert StrippedForParts().problems(states) == (expected,)
    assert StrippedForParts().problems({"subject": State()}) == ()


def test_a_donor_says_what_was_taken():
    assert StrippedForParts(("T-1", "T-2")).sentence() == "Stripped for parts: T-1, T-2."
    assert StrippedForParts().sentence() == "Stripped for parts."


def test_its_facts_come_back_from_the_book():
    facts = StrippedForParts(("T-1", "T-2"))
    assert round_trip(facts) == facts

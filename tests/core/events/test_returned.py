"""What `returned` does to the book."""

from collection.core.events.returned import Returned
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_a_return_ends_the_loan_and_the_evidence():
    found = after(Returned("P-5", "L-1"), proven().now(holder="P-5", place="L-9"))
    assert (found.holder, found.place) == (None, "L-1")
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "return from loan")
    assert found.seen is not None
    assert found.seen.place == "L-1"


def test_a_return_without_a_place_leaves_the_place():
    found = after(Returned(), State(holder="P-5", place="L-9"))
    assert (found.place, found.seen) == ("L-9", None)


def test_a_return_that_does_not_fit_the_loan_is_a_contradiction():
    def said(state: State) -> tuple[str, ...]:
        return Returned("P-5").problems({"subject": state})

    assert said(State(holder="P-5")) == ()
    assert said(State()) == ("The book says nobody has it, yet it came back.",)
    assert said(State(holder="P-4")) == ("The book says P-4 has it, yet it came back from P-5.",)


def test_a_return_says_from_whom():
    assert Returned("P-5", "L-1").sentence() == "Came back from P-5 to L-1."
    assert Returned().sentence() == "Came back."
    assert Returned().names() == {}


def test_its_facts_come_back_from_the_book():
    facts = Returned("P-5", "L-1")
    assert round_trip(facts) == facts

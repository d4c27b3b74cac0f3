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


def test_a_return_of_the_first_version_counted_nothing():
    old = {"from_whom": "P-5", "at": "L-1"}
    assert Returned.from_facts(old, 1) == Returned("P-5", "L-1")


def test_what_went_along_and_is_not_back_is_a_contradiction():
    facts = Returned("P-5", loan="LN-1", came_with=(("footswitch", "came"), ("lead", "missing")))
    assert facts.problems({"subject": State(holder="P-5")}) == (
        "Loan LN-1, went along and not back: lead.",
    )
    assert facts.sentence() == "Came back from P-5; footswitch is back, lead is missing."
    assert after(facts, State().shifted({"away": 1}), role="loan").condition == "over"
    assert round_trip(facts) == facts

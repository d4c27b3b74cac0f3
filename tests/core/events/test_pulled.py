"""What `pulled` does to the book."""

from collection.core.events.pulled import Pulled
from collection.core.state import State
from tests.core.book import after, proven, round_trip

FACTS = Pulled(2, "show", "T-1", "A-007", "V3", "61.5")
LOT = State(counts=(("fitted", 2),))


def test_a_pull_is_a_reserve_with_a_grade_and_no_death():
    assert after(FACTS, LOT).counts == (("pulled:show", 2),)


def test_the_part_keeps_its_hours_and_sits_nowhere():
    fitted = State(fitted_in="A-007", position="V3", grade="V1", hours_before="10")
    assert after(FACTS, fitted, "part") == State(grade="show", hours_before="61.5")
    unknown = Pulled(2, "show", "T-1", "A-007")
    assert after(unknown, fitted, "part").hours_before == "10"


def test_the_piece_is_unproven_without_its_tube():
    found = after(FACTS, proven(), "piece")
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "part pulled")


def test_a_pull_from_elsewhere_than_the_book_says_is_a_contradiction():
    def said(part: State, lot: State = LOT) -> tuple[str, ...]:
        return FACTS.problems({"subject": lot, "part": part, "piece": State()})

    assert said(State(fitted_in="A-007")) == ()
    assert said(State(fitted_in="A-002")) == (
        "The book has T-1 in A-002, yet it was pulled from A-007.",
    )
    assert said(State()) == ("The book has T-1 in no piece, yet it was pulled from A-007.",)
    assert said(State(fitted_in="A-007"), State()) == (
        "The book has 0 in fitted, yet 2 were pulled.",
    )


def test_a_pull_says_after_how_many_hours():
    assert FACTS.sentence() == "2 pulled (T-1) from A-007 V3 after 61.5 h HT, kept for show."
    assert Pulled(1, "bench").sentence() == "1 pulled, kept for bench."
    assert FACTS.names() == {"part": "T-1", "piece": "A-007"}


def test_its_facts_come_back_from_the_book():
    facts = FACTS
    assert round_trip(facts) == facts


def test_a_part_that_sits_nowhere_and_is_pulled_again_is_asked_about():
    facts = Pulled(units=1, grade="show", part="S-1")
    out, lot = State(grade="show"), State(counts=(("fitted", 3),))
    assert facts.problems({"subject": lot, "part": out}) == (
        "The book has S-1 in no piece, yet it was pulled.",
    )
    assert facts.problems({"subject": lot, "part": State(fitted_in="A-007")}) == ()

"""What `matched` does to the book."""

from collection.core.bucket import total
from collection.core.events.matched import Matched
from collection.core.state import State
from tests.core.book import after, round_trip

READ = (("L-001-01", "98", "10900"), ("L-001-02", "96", "10800"))
FACTS = Matched("L-001", "tested:show", READ, "bench tester", "2.0", "0.9", "10", "10")
LOOSE = State(grade="tested:show")


def test_the_set_and_its_tubes_are_counted_where_they_were():
    counted = State(counts=(("sealed", 4), ("tested:show", 6)))
    assert after(FACTS, counted, role="lot") == counted
    assert after(FACTS) == State(grade="tested:show")


def test_a_tube_belongs_to_its_set():
    assert after(FACTS, LOOSE, role="tube-1").set_of == "A-007"  # the subject of the test's book


def test_a_set_with_a_mate_of_the_reserve_is_reserve():
    facts = Matched("L-001", "pulled:show", READ, moves=(("tested:show", 1),), hours_before="140")
    assert after(facts) == State(grade="pulled:show", hours_before="140")
    counted = State(counts=(("pulled:show", 1), ("tested:show", 6)))
    found = after(facts, counted, role="lot")
    assert found.counts == (("pulled:show", 2), ("tested:show", 5))
    assert total(found) == total(counted)
    assert after(facts, LOOSE, role="tube-2").grade == "pulled:show"


def test_a_tube_that_is_not_loose_is_asked_about():
    states = {"lot": State(), "tube-1": LOOSE.now(set_of="OS-17"), "tube-2": LOOSE}
    assert FACTS.problems(states) == ("The book has L-001-01 in OS-17 already.",)
    states = {"lot": State(), "tube-1": State(fitted_in="A-007"), "tube-2": State(grade="dead")}
    assert FACTS.problems(states) == (
        "The book has L-001-01 in A-007, yet it was matched.",
        "The book says L-001-02 is dead, yet it was matched.",
    )


def test_a_match_says_how_far_apart_they_are():
    assert FACTS.sentence() == (
        "Matched: L-001-01, L-001-02, 2.0 % apart in current and 0.9 % in gm; bench tester."
    )


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

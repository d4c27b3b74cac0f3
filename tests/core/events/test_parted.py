"""What `parted` does to the book."""

from collection.core.bucket import total
from collection.core.events.parted import Parted
from collection.core.state import State
from tests.core.book import after, round_trip

FACTS = Parted("L-001", ("L-001-01",), grade="show", hours="140", because="V5 went soft")
DEAD = State(counts=(("dead", 2), ("sealed", 4)))


def test_the_mate_of_a_dead_tube_goes_back_to_the_reserve():
    found = after(FACTS, DEAD, role="lot")
    assert found.counts == (("dead", 1), ("pulled:show", 1), ("sealed", 4))
    assert total(found) == total(DEAD)


def test_the_mate_is_loose_with_the_hours_it_ran():
    found = after(FACTS, State(set_of="OS-17", grade="tested:show"), role="tube-1")
    assert found == State(grade="pulled:show", hours_before="140")


def test_a_set_that_came_apart_is_offered_as_a_set_no_more():
    assert after(FACTS, State(grade="dead")).grade == "apart"


def test_a_broken_mate_of_a_pulled_set_dies_now():
    facts = Parted("L-001", ("L-001-01",), source="pulled:show", lost=1)
    found = after(facts, State(counts=(("pulled:show", 4),)), role="lot")
    assert found.counts == (("dead", 1), ("pulled:show", 3))


def test_a_set_still_in_its_piece_or_not_in_its_bucket_is_asked_about():
    assert FACTS.problems({"subject": State(grade="dead"), "lot": DEAD}) == ()
    states = {"subject": State(fitted_in="A-007"), "lot": State()}
    assert FACTS.problems(states) == (
        "The book has the set in A-007, yet it came apart.",
        "The book has 0 in dead, yet 1 were parted.",
    )


def test_it_says_which_mate_lives_on():
    assert FACTS.sentence() == (
        "The set came apart, L-001-01 kept for show after 140 h HT: V5 went soft."
    )


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

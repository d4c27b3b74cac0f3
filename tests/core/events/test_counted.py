"""What `counted` does to the book."""

from collection.core.bucket import total
from collection.core.events.counted import Counted
from collection.core.state import State
from tests.core.book import after, round_trip

LOT = State(counts=(("fitted", 6), ("sealed", 40), ("tested:V1", 3)))


def test_the_shelf_is_right_and_the_difference_is_unexplained():
    found = after(Counted((("sealed", 38), ("tested:V1", 4))), LOT)
    assert found.counts == (("fitted", 6), ("sealed", 38), ("tested:V1", 4), ("unexplained", 1))
    assert total(found) == total(LOT) == 49


def test_a_count_that_agrees_changes_nothing():
    facts = Counted((("sealed", 40),))
    assert after(facts, LOT) == LOT
    assert facts.problems({"subject": LOT}) == ()


def test_every_bucket_that_differs_is_asked():
    facts = Counted((("sealed", 38), ("tested:V1", 3), ("lost", 1)))
    assert facts.problems({"subject": LOT}) == (
        "The book has 40 in sealed, the count found 38.",
        "The book has 0 in lost, the count found 1.",
    )


def test_nobody_can_count_the_unexplained():
    assert after(Counted((("unexplained", 5),)), LOT) == LOT


def test_a_count_says_what_was_seen():
    assert Counted((("sealed", 38), ("dead", 2))).sentence() == "Counted: 38 sealed, 2 dead."
    assert Counted().sentence() == "Counted: nothing."


def test_its_facts_come_back_from_the_book():
    facts = Counted((("sealed", 38), ("dead", 2)))
    assert round_trip(facts) == facts

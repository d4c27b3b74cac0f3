"""What `found_again` does to the book."""

from collection.core.events.found_again import FoundAgain
from collection.core.state import State
from tests.core.book import after, round_trip

LOT = State(counts=(("lost", 3), ("sealed", 1)))


def test_found_units_leave_the_lost():
    assert after(FoundAgain(2), LOT).counts == (("lost", 1), ("sealed", 3))


def test_finding_more_than_were_lost_explains_what_was_unexplained():
    lot = State(counts=(("lost", 1), ("unexplained", 2)))
    assert after(FoundAgain(3), lot).counts == (("sealed", 3),)
    assert FoundAgain(3).problems({"subject": lot}) == (
        "The book has 1 in lost, yet 3 were found again.",
    )


def test_it_says_where_they_went():
    assert FoundAgain(2, "tested:V1").sentence() == "2 found again, now tested, V1."


def test_its_facts_come_back_from_the_book():
    facts = FoundAgain(2, "tested:V1")
    assert round_trip(facts) == facts

"""What `written_off` does to the book."""

from collection.core.events.written_off import WrittenOff
from collection.core.state import State
from tests.core.book import after, round_trip

LOT = State(counts=(("sealed", 4),))


def test_written_off_units_are_lost_or_dead():
    assert after(WrittenOff(3, "sealed"), LOT).counts == (("lost", 3), ("sealed", 1))
    assert after(WrittenOff(4, "sealed", to="dead"), LOT).counts == (("dead", 4),)


def test_writing_off_more_than_there_are_is_asked():
    facts = WrittenOff(5, "sealed")
    assert facts.problems({"subject": LOT}) == (
        "The book has 4 in sealed, yet 5 were written off.",
    )
    assert after(facts, LOT).counts == (("lost", 5), ("unexplained", -1))


def test_it_says_why():
    facts = WrittenOff(3, "sealed", "crate dropped", "dead")
    assert facts.sentence() == "3 written off from sealed as dead: crate dropped."
    assert WrittenOff(3, "sealed").sentence() == "3 written off from sealed as lost."


def test_its_facts_come_back_from_the_book():
    facts = WrittenOff(3, "sealed", "crate dropped", "dead")
    assert round_trip(facts) == facts

"""What `tested` does to the book."""

from collection.core.bucket import total
from collection.core.events import tested  # the bare class name would be collected as a test
from collection.core.state import State
from tests.core.book import after, round_trip

SEALED = State(counts=(("sealed", 10),))


def test_tested_units_leave_sealed_for_their_grades_and_the_dead():
    found = after(tested.Tested(8, (("V1", 2), ("show", 5)), 1), SEALED)
    assert found.counts == (("dead", 1), ("sealed", 2), ("tested:V1", 2), ("tested:show", 5))


def test_units_nobody_graded_are_unexplained():
    facts = tested.Tested(8, (("V1", 2),), 1)
    assert after(facts, SEALED).counts == (
        ("dead", 1),
        ("sealed", 2),
        ("tested:V1", 2),
        ("unexplained", 5),
    )
    assert facts.problems({"subject": SEALED}) == ("8 were tested, yet 3 were graded or failed.",)


def test_more_tested_than_sealed_is_recorded_and_becomes_a_question():
    facts = tested.Tested(12, (("V1", 12),))
    found = after(facts, SEALED)
    assert found.counts == (("tested:V1", 12), ("unexplained", -2))
    assert total(found) == 10
    assert facts.problems({"subject": SEALED}) == (
        "The book has 10 in sealed, yet 12 were tested.",
    )


def test_a_test_says_how_they_graded():
    facts = tested.Tested(8, (("V1", 2), ("show", 5)), 1)
    assert facts.sentence() == "8 tested, 2 good for V1, 5 good for show, 1 failed."
    assert facts.problems({"subject": SEALED}) == ()


def test_its_facts_come_back_from_the_book():
    facts = tested.Tested(8, (("V1", 2), ("show", 5)), 1)
    assert round_trip(facts) == facts

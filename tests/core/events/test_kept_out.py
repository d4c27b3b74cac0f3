"""What `kept_out` does to the book."""

from collection.core.events.kept_out import KeptOut
from collection.core.state import State
from tests.core.book import after, round_trip

LOT = State(counts=(("sealed", 4),))


def test_units_kept_out_are_no_spares_and_come_back_the_same_way():
    kept = after(KeptOut(3, "sealed"), LOT)
    assert kept.counts == (("kept-out", 3), ("sealed", 1))
    assert after(KeptOut(2, back_to="sealed"), kept).counts == (("kept-out", 1), ("sealed", 3))


def test_keeping_out_more_than_there_are_is_asked():
    facts = KeptOut(5, "sealed")
    assert facts.problems({"subject": LOT}) == ("The book has 4 in sealed, yet 5 were kept out.",)
    assert after(facts, LOT).counts == (("kept-out", 5), ("unexplained", -1))
    assert KeptOut(1, back_to="sealed").problems({"subject": LOT}) == (
        "The book has 0 in kept out, yet 1 were put back.",
    )


def test_the_piece_they_are_kept_for_is_named_and_stays_as_it_is():
    facts = KeptOut(2, "tested:show", "came with it in 1962", "A-007")
    assert facts.names() == {"piece": "A-007"}
    assert after(facts, State(), role="piece") == State()


def test_it_says_what_for_and_why():
    facts = KeptOut(2, "tested:show", "came with it", "A-007")
    assert facts.sentence() == "2 kept out for A-007, from tested, show: came with it."
    assert KeptOut(1, back_to="sealed").sentence() == "1 kept out until now, back as sealed."


def test_its_facts_come_back_from_the_book():
    facts = KeptOut(2, "tested:show", "came with it", "A-007")
    assert round_trip(facts) == facts

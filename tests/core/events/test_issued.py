"""What `issued` does to the book."""

from collection.core.events.issued import Issued
from collection.core.state import State
from tests.core.book import after, proven, round_trip

LOT = State(counts=(("sealed", 4), ("tested:V1", 2)))
FACTS = Issued(2, "V1", "T-1", "A-007", "V1", "12.5")


def test_issued_units_go_from_their_bucket_to_fitted():
    assert after(FACTS, LOT).counts == (("fitted", 2), ("sealed", 4))
    assert after(Issued(1), LOT).counts == (("fitted", 1), ("sealed", 3), ("tested:V1", 2))


def test_a_pulled_reserve_can_be_issued_again():
    lot = State(counts=(("pulled:show", 2),))
    assert after(Issued(2, "pulled:show"), lot).counts == (("fitted", 2),)


def test_the_part_is_fitted_with_what_it_brings_along():
    assert after(FACTS, role="part") == State(
        fitted_in="A-007", position="V1", grade="V1", hours_before="12.5"
    )


def test_a_tube_change_leaves_the_piece_unproven():
    found = after(FACTS, proven(), "piece")
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "tube change")


def test_more_issued_than_there_are_is_unexplained_and_asked():
    facts = Issued(3, "V1")
    assert after(facts, LOT).counts == (("fitted", 3), ("sealed", 4), ("unexplained", -1))
    assert facts.problems({"subject": LOT}) == ("The book has 2 in tested, V1, yet 3 were issued.",)


def test_a_part_in_two_places_is_a_contradiction():
    states = {"subject": LOT, "part": State(fitted_in="A-002"), "piece": State()}
    assert FACTS.problems(states) == ("The book has T-1 in A-002, yet it went into A-007.",)
    assert FACTS.problems({"subject": LOT, "part": State(), "piece": State()}) == ()


def test_an_issue_says_what_went_where():
    assert FACTS.sentence() == "2 issued (V1) as T-1 into A-007 V1."
    assert Issued(1).sentence() == "1 issued (sealed)."
    assert Issued(1, because="it hums less").sentence() == "1 issued (sealed); it hums less."
    assert FACTS.names() == {"part": "T-1", "piece": "A-007"}
    assert Issued(1).names() == {}


def test_its_facts_come_back_from_the_book():
    facts = FACTS
    assert round_trip(facts) == facts

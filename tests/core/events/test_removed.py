"""What `removed` does to the book."""

import pytest

from collection.core.bucket import total
from collection.core.events.removed import GOES_TO, Removed
from collection.core.state import State
from tests.core.book import after, proven, round_trip

IN = State(fitted_in="A-007", position="V1", hours_before="12")


@pytest.mark.parametrize(
    ("facts", "grade"),
    [(Removed("S-1", "V1", grade="show"), "show"), (Removed("S-1", "V1"), "bench"),
     (Removed("S-1", "V1", to="tested", grade="V1-quiet"), "V1-quiet"),
     (Removed("S-1", "V1", to="kept-out"), "kept-out"), (Removed("S-1", "V1", to="dead"), "dead"),
     (Removed("S-1", "V1", to="unknown"), "unknown")],
)  # fmt: skip
def test_the_part_is_out_and_goes_somewhere(facts, grade):
    assert after(facts, IN, "part") == State(grade=grade, hours_before="12")


def test_a_part_that_sits_elsewhere_by_now_stays_there():
    elsewhere = State(fitted_in="A-012", position="V2")
    assert after(Removed("S-1", "V1", how="found"), elsewhere, "part") == elsewhere


def test_the_piece_is_unproven_without_it():
    found = after(Removed("S-1", "V1"), proven().with_part("S-1", "V1"))
    assert found.fitted == ()
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "part removed")
    found = after(Removed("S-1", "V1", how="found"), proven())
    assert found.unproven_because == "V1 missing"


@pytest.mark.parametrize("to", GOES_TO)
def test_units_of_a_lot_are_neither_made_nor_lost(to):
    lot = State(counts=(("fitted", 3), ("sealed", 1)))
    found = after(Removed("OS-14", "output", to=to, lot="L-001", units=2), lot, "lot")
    assert found.count("fitted") == 1
    assert total(found) == 4


def test_out_of_a_piece_that_the_book_does_not_have_it_in_is_asked():
    said = Removed("S-1", "V1").problems({"subject": State(), "part": State(fitted_in="A-002")})
    assert said == ("The book has S-1 in A-002, yet it came out of this piece.",)
    states = {"subject": State(fitted=(("S-1", "V1"),)), "part": IN}
    assert Removed("S-1", "V1").problems(states) == ()


def test_a_part_that_is_nowhere_is_asked_for():
    states = {"subject": State(fitted=(("S-1", "V1"),)), "part": IN}
    said = Removed("S-1", "V1", how="found", to="unknown").problems(states)
    assert said == ("S-1 is not in V1 as the book has it: where is it?",)


def test_it_says_what_left_and_what_became_of_it():
    assert Removed("S-1", "V1", to="dead", failed="heater open").sentence() == (
        "S-1 removed from V1, dead: heater open."
    )
    assert Removed("S-1", "V1", how="found", to="unknown").sentence() == (
        "S-1 not in V1 any more, nobody knows where it is."
    )
    assert Removed("S-1", "V1", to="kept-out").sentence() == (
        "S-1 removed from V1, kept out with its piece."
    )


def test_its_facts_come_back_from_the_book():
    facts = Removed("S-1", "V1", to="pulled", grade="show", lot="L-001", units=2)
    assert round_trip(facts) == facts
    assert facts.names() == {"part": "S-1", "lot": "L-001"}

"""What `died` does to the book."""

from collection.core.events.died import Died
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_dying_on_stage_ends_the_evidence_and_opens_nothing():
    found = after(Died("S-14", "bass amplifier"), proven())
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "died on stage")
    assert found.faults == ()
    assert after(Died("S-14"), role="show") == State()


def test_a_stolen_piece_that_died_on_stage_is_a_contradiction():
    assert Died().problems({"subject": State(standing="stolen")}) == (
        "The book says it is stolen, yet it died on stage.",
    )


def test_it_says_where_on_stage():
    assert Died("S-14", "bass amplifier").sentence() == "Died on stage as bass amplifier (S-14)."
    assert Died().sentence() == "Died on stage."
    assert (Died("S-14").names(), Died().names()) == ({"show": "S-14"}, {})


def test_its_facts_come_back_from_the_book():
    facts = Died("S-14", "bass amplifier")
    assert round_trip(facts) == facts

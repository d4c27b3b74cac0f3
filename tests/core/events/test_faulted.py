"""What `faulted` does to the book."""

from collection.core.events.faulted import Faulted
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_a_fault_is_open_on_the_piece_and_ends_the_evidence():
    found = after(Faulted("F-012", "hum"), proven())
    assert found.faults == (("F-012", "open"),)
    assert found.open_faults == ("F-012",)
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "fault F-012")


def test_an_intermittent_fault_speaks_against_the_piece_too():
    found = after(Faulted("F-012", "crackle", intermittent=True))
    assert found.faults == (("F-012", "intermittent"),)
    assert found.open_faults == ("F-012",)


def test_a_fault_that_comes_back_is_the_same_fault_and_counts_anew():
    facts = Faulted("F-012", "crackle", again=True)
    assert after(facts, State(faults=(("F-012", "fixed"),))).faults == (("F-012", "open"),)
    found = after(facts, State(condition="fixed", clean_shows=3), "fault")
    assert (found.condition, found.clean_shows) == ("open", 0)


def test_a_fault_says_its_symptom_and_when_it_shows():
    facts = Faulted("F-012", "crackle", "hot", 25, intermittent=True, again=True)
    assert facts.sentence() == (
        "Fault is back (F-012): crackle, when hot, after 25 min, comes and goes."
    )
    assert Faulted("F-012", "hum").sentence() == "Fault (F-012): hum."
    assert facts.names() == {"fault": "F-012"}


def test_its_facts_come_back_from_the_book():
    facts = Faulted("F-012", "crackle", "hot", 25, intermittent=True, again=True)
    assert round_trip(facts) == facts

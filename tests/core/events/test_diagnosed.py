"""What `diagnosed` does to the book."""

from collection.core.events.diagnosed import Diagnosed
from collection.core.state import State
from tests.core.book import after, proven, round_trip

FACTS = Diagnosed("dry joint at the standby switch", "J-001", "N-006", "F-003")


def test_a_diagnosis_changes_the_job_and_neither_piece_nor_fault():
    assert after(FACTS, State(condition="booked-in"), "job").condition == "diagnosed"
    assert after(FACTS, proven()) == proven()
    fault = State(condition="intermittent", clean_shows=2)
    assert after(FACTS, fault, "fault") == fault


def test_it_says_what_was_found_by_whom():
    said = "Diagnosed by N-006 (fault F-003): dry joint at the standby switch."
    assert FACTS.sentence() == said
    assert Diagnosed("nothing found").sentence() == "Diagnosed: nothing found."
    assert Diagnosed("paper is sound.").sentence() == "Diagnosed: paper is sound."
    assert FACTS.names() == {"job": "J-001", "by_whom": "N-006", "fault": "F-003"}


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

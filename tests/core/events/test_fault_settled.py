"""What `fault_settled` does to the book."""

from collection.core.events.fault_settled import FaultSettled
from collection.core.state import State
from tests.core.book import after, round_trip

WITH_FAULT = State(faults=(("F-012", "open"),))


def test_a_fixed_fault_no_longer_speaks_against_the_piece_but_proves_nothing():
    before = WITH_FAULT.unproved("2026-11-01", "fault F-012", 4)
    found = after(FaultSettled("F-012", "fixed"), before)
    assert found.faults == (("F-012", "fixed"),)
    assert found.open_faults == ()
    assert found.unproven_since == "2026-11-01"


def test_a_fault_nobody_could_find_still_speaks_against_the_piece():
    found = after(FaultSettled("F-012", "not-reproduced"), WITH_FAULT)
    assert found.open_faults == ("F-012",)


def test_the_fault_takes_the_outcome_and_proof_keeps_its_clean_shows():
    before = State(condition="fixed", clean_shows=4)
    fixed = after(FaultSettled("F-012", "fixed"), before, "fault")
    proven_fault = after(FaultSettled("F-012", "proven"), before, "fault")
    assert (fixed.condition, fixed.clean_shows) == ("fixed", 0)
    assert (proven_fault.condition, proven_fault.clean_shows) == ("proven", 4)


def test_settling_what_is_no_fault_of_the_piece_is_a_contradiction():
    assert FaultSettled("F-9", "fixed").problems({"subject": WITH_FAULT}) == (
        "The book knows no fault F-9 of this piece.",
    )
    assert FaultSettled("F-012", "fine").problems({"subject": WITH_FAULT}) == (
        "A fault ends as one of not reproduced, fixed, no fault, proven, not fine.",
    )
    assert FaultSettled("F-012", "no-fault").problems({"subject": WITH_FAULT}) == ()


def test_it_says_how_the_fault_ended():
    assert FaultSettled("F-012", "fixed").sentence() == "Fault F-012 was fixed."
    assert FaultSettled("F-012", "fixed").names() == {"fault": "F-012"}


def test_its_facts_come_back_from_the_book():
    facts = FaultSettled("F-012", "not-reproduced")
    assert round_trip(facts) == facts

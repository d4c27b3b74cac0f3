"""What `repaired` does to the book."""

from collection.core.events.repaired import Repaired
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_a_repair_leaves_the_piece_unproven():
    found = after(Repaired("coupling capacitor"), proven())
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "repair")
    assert found.faults == ()


def test_a_repair_fixes_the_fault_it_names():
    facts = Repaired("coupling capacitor", by_whom="P-6", fault="F-012")
    assert after(facts, State(faults=(("F-012", "open"),))).faults == (("F-012", "fixed"),)
    assert after(facts, State(condition="open", clean_shows=2), "fault") == State(condition="fixed")
    assert after(facts, role="by_whom") == State()
    assert facts.names() == {"by_whom": "P-6", "fault": "F-012"}


def test_a_repair_says_who_did_what_and_where_the_old_part_is():
    facts = Repaired("output transformer", "P-6", "Jonah", "F-012", "in drawer 3")
    assert facts.sentence() == (
        "Repaired by P-6: output transformer, for fault F-012; "
        "removed part: in drawer 3 (told by Jonah)."
    )
    assert Repaired("leg").sentence() == "Repaired: leg."
    assert Repaired("leg").names() == {}


def test_its_facts_come_back_from_the_book():
    facts = Repaired("output transformer", "P-6", "Jonah", "F-012", "in drawer 3")
    assert round_trip(facts) == facts


def test_a_repair_on_a_job_says_that_its_work_is_done():
    facts = Repaired("standby switch", by_whom="N-006", job="J-001")
    assert after(facts, State(condition="approved"), "job").condition == "done"
    assert facts.names() == {"by_whom": "N-006", "job": "J-001"}


def test_a_repair_of_the_first_version_has_no_job():
    old = {"what": "leg", "by_whom": "", "told_by": "", "fault": "", "removed_kept": ""}
    assert Repaired.from_facts(old, 1) == Repaired("leg")

"""What `recovered` does to the book."""

from collection.core.events.recovered import Recovered
from collection.core.recovery import missing
from collection.core.state import Gate, State
from tests.core.book import BY, after, proven, round_trip


def test_a_recovered_piece_waits_in_quarantine_with_every_gate_open():
    gate = Gate("police", "answered", "", "M-1", 2)
    stolen = proven().now(standing="stolen", incident="I-1", place="L-8", gates=(gate,))
    found = after(Recovered("I-1", "L-2"), stolen)
    assert (found.standing, found.place, found.incident) == ("quarantined", "L-2", "I-1")
    assert missing(found) == ("police", "insurer", "identity", "condition", "notices")
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "recovered")
    assert found.seen is not None
    assert (found.seen.by, found.seen.place, found.seen.entry) == (BY, "L-2", 9)
    assert after(Recovered("I-1", "L-2"), role="at") == State()


def test_something_mislaid_needs_identity_and_condition_only():
    missed = State(standing="not_found", incident="I-OLD")
    found = after(Recovered("", "L-2", mislaid=True), missed)
    assert missing(found) == ("identity", "condition")


def test_calling_a_theft_mislaid_spares_no_gate():
    stolen = State(standing="stolen", incident="I-1")
    facts = Recovered("", "L-2", mislaid=True)
    assert len(missing(after(facts, stolen))) == 5
    assert facts.problems({"subject": stolen}) == (
        "The book says it is stolen, not mislaid; all gates of a theft apply.",
    )


def test_recovering_what_was_never_lost_is_a_contradiction():
    facts = Recovered("I-1", "L-2")
    assert facts.problems({"subject": State()}) == (
        "The book says it is held, neither stolen nor not found.",
    )
    assert facts.problems({"subject": State(standing="laid_up")}) == (
        "The book says it is laid up, neither stolen nor not found.",
    )
    assert facts.problems({"subject": State(standing="stolen", incident="I-1")}) == ()
    assert facts.problems({"subject": State(standing="not_found")}) == ()


def test_a_recovery_says_who_found_it_and_how_it_was_known():
    facts = Recovered("I-1", "L-2", "P-6", ("filled screw hole", "grain"))
    assert facts.sentence() == (
        "Recovered by P-6 at L-2, known by filled screw hole, grain; in quarantine."
    )
    assert Recovered("", "L-2", mislaid=True).sentence() == (
        "Mislaid and found at L-2; in quarantine."
    )
    assert facts.names() == {"incident": "I-1", "at": "L-2", "found_by": "P-6"}
    assert Recovered("", "L-2").names() == {"at": "L-2"}


def test_its_facts_come_back_from_the_book():
    facts = Recovered("I-1", "L-2", "P-6", ("filled screw hole", "grain"))
    assert round_trip(facts) == facts

"""What `tagged_out` does to the book."""

from collection.core.events.tagged_out import TaggedOut
from collection.core.state import State, Tag
from tests.core.book import BY, after, proven, round_trip


def test_a_tag_hangs_with_its_reason_and_the_check_that_lifts_it():
    assert after(TaggedOut("smoke")).tag == Tag(
        "smoke", "bench check with mains safety test", BY, 9
    )


def test_a_proposal_never_replaces_a_tag_that_hangs_and_a_person_replaces_a_proposal():
    hung = State(tag=Tag("smoke", "bench check", "M-1", 4))
    assert after(TaggedOut("smelled odd", proposed=True), hung) == hung
    proposal = after(TaggedOut("smelled odd", proposed=True))
    assert proposal.tag is not None
    assert proposal.tag.proposed
    assert after(TaggedOut("smoke", "bench check"), proposal).tag == Tag(
        "smoke", "bench check", BY, 9
    )


def test_a_second_reason_joins_the_first():
    hung = State(tag=Tag("smoke", "bench check", "M-1", 4))
    both = after(TaggedOut("wet", "drying and bench check"), hung)
    assert both.tag == Tag("smoke; wet", "bench check; drying and bench check", BY, 9)
    assert after(TaggedOut("wet", "bench check"), both, number=10).tag == Tag(
        "smoke; wet", "bench check; drying and bench check", BY, 10
    )


def test_a_tag_says_why_and_what_lifts_it():
    assert TaggedOut("smoke", "bench check").sentence() == (
        "DO NOT POWER: smoke. Lifted by: bench check."
    )
    assert TaggedOut("smoke", "bench check", proposed=True).sentence() == (
        "DO NOT POWER proposed: smoke. Lifted by: bench check."
    )


def test_its_facts_come_back_from_the_book():
    facts = TaggedOut("smoke", "bench check", proposed=True)
    assert round_trip(facts) == facts


def test_a_tag_that_hangs_ends_the_evidence_and_a_proposal_does_not():
    hung = after(TaggedOut("smoke"), proven())
    assert hung.unproven_because == "tagged out"
    assert all(proof.voided for proof in hung.proofs)
    assert after(TaggedOut("smelled odd", proposed=True), proven()).proofs == proven().proofs

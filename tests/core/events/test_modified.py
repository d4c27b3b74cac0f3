"""What `modified` does to the book."""

from collection.core.events.modified import Modified
from tests.core.book import after, proven, round_trip


def test_a_modification_ends_the_evidence():
    found = after(Modified("bias supply"), proven())
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "modification")


def test_a_modification_says_from_what_to_what_and_whether_it_can_go_back():
    facts = Modified("mains lead", "two-core", "three-core", "yes", "in the case")
    assert facts.sentence() == (
        "Modified: mains lead from two-core to three-core; can be reversed; "
        "removed part: in the case."
    )
    assert Modified("bias supply").sentence() == (
        "Modified: bias supply; nobody knows whether it can be reversed."
    )


def test_its_facts_come_back_from_the_book():
    facts = Modified("mains lead", "two-core", "three-core", "yes", "in the case")
    assert round_trip(facts) == facts

"""What `told_working` does to the book."""

from collection.core.events.told_working import ToldWorking
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_hearsay_is_kept_and_is_never_a_proof():
    found = after(ToldWorking("yes", "plays fine"), State())
    assert (found.told_works, found.told_on) == ("yes", "2026-11-24")
    assert found.proofs == ()


def test_hearsay_neither_proves_nor_ends_a_proof():
    before = proven().unproved("2026-11-22", "freight by sea", 5)
    found = after(ToldWorking("no"), before)
    assert (found.unproven_since, found.proofs) == ("2026-11-22", before.proofs)


def test_hearsay_is_quoted():
    assert ToldWorking("yes", "plays fine").sentence() == "Told that it works (“plays fine”)."
    assert ToldWorking("no").sentence() == "Told that it does not work."
    assert ToldWorking("unclear").sentence() == "Told nothing clear about working."


def test_its_facts_come_back_from_the_book():
    facts = ToldWorking("yes", "plays fine")
    assert round_trip(facts) == facts

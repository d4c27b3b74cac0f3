"""What `sealed` says, and that it changes nothing."""

from collection.core.events.sealed import Sealed
from tests.core.book import after, proven, round_trip

SEAL = Sealed(size=2041, root="ab12" * 16, held_by=("N-013",), went_to="the safe in Carlisle")


def test_a_seal_changes_nothing_of_who_holds_it():
    assert after(SEAL, proven()) == proven()
    assert after(SEAL, proven(), role="holder-1") == proven()


def test_who_holds_a_copy_is_named():
    assert SEAL.names() == {"holder-1": "N-013"}


def test_a_seal_says_how_much_how_its_root_begins_and_who_has_it():
    said = "Sealed at 2041 entries, root ab12ab12…; a copy went to N-013, the safe in Carlisle."
    assert SEAL.sentence() == said
    assert Sealed(size=1, root="cd" * 32).sentence() == "Sealed at 1 entry, root cdcdcdcd…."


def test_its_facts_come_back_from_the_book():
    assert round_trip(SEAL) == SEAL

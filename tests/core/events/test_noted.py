"""What `noted` does to the book."""

from collection.core.events import facts_of
from collection.core.events.noted import Noted
from tests.core.book import after, proven, round_trip


def test_a_note_changes_nothing():
    before = proven()
    assert after(Noted(about="Harbour Lights"), before) == before


def test_a_note_says_what_it_is_about():
    assert Noted().sentence() == "Note."
    assert Noted(about="Harbour Lights").sentence() == "Note about Harbour Lights."


def test_a_note_of_what_is_odd_but_normal_says_so():
    assert Noted(odd=True).sentence() == "Odd but normal."
    assert Noted(about="V1", odd=True).sentence() == "Odd but normal, about V1."


def test_a_note_of_the_first_version_is_not_marked():
    assert facts_of("noted", {"about": "V1"}, 1) == Noted(about="V1")


def test_its_facts_come_back_from_the_book():
    facts = Noted(about="V1")
    assert round_trip(facts) == facts

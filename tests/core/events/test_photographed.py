"""What `photographed` does to the book."""

from collection.core.events.photographed import Photographed
from tests.core.book import after, proven, round_trip


def test_a_photo_changes_nothing():
    assert after(Photographed("ab" * 32, "serial"), proven()) == proven()


def test_a_photo_says_its_view():
    assert Photographed("ab" * 32, "serial").sentence() == "Photographed: serial."
    assert Photographed("ab" * 32).sentence() == "Photographed."


def test_its_facts_come_back_from_the_book():
    facts = Photographed("ab" * 32, "serial")
    assert round_trip(facts) == facts

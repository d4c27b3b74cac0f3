"""What `withdrawn` does to the book."""

from collection.core.events.withdrawn import Withdrawn
from tests.core.book import after, proven, round_trip


def test_a_withdrawal_changes_nothing_by_itself():
    assert after(Withdrawn("wrong amplifier"), proven()) == proven()


def test_a_withdrawal_says_why():
    assert Withdrawn("wrong amplifier").sentence() == "Withdrawn: wrong amplifier."
    assert Withdrawn().sentence() == "Withdrawn."


def test_its_facts_come_back_from_the_book():
    facts = Withdrawn("wrong amplifier")
    assert round_trip(facts) == facts

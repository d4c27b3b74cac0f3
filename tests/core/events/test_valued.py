"""What `valued` does to the book."""

from collection.core.events.valued import Valued
from tests.core.book import after, proven, round_trip


def test_a_value_changes_nothing():
    assert after(Valued(1_234_500, "GBP", "appraisal"), proven()) == proven()


def test_the_sentence_never_says_how_much():
    sentence = Valued(1_234_500, "GBP", "appraisal").sentence()
    assert sentence == "Valued, appraisal."
    assert "12" not in sentence
    assert Valued(1, "GBP").sentence() == "Valued."


def test_its_facts_come_back_from_the_book():
    facts = Valued(1_234_500, "GBP", "appraisal")
    assert round_trip(facts) == facts

"""What `asked` does to the book."""

from collection.core.events.asked import Asked
from collection.core.state import State
from tests.core.book import after, round_trip


def test_a_question_is_open_and_the_thing_it_is_about_is_untouched():
    facts = Asked("Whose is it?", about="A-007", entry=4)
    assert after(facts).condition == "open"
    assert after(facts, role="about") == State()
    assert facts.names() == {"about": "A-007"}


def test_a_question_is_its_own_sentence():
    assert Asked("Whose is it?").sentence() == "Question: Whose is it?"
    assert Asked("Whose is it?").names() == {}


def test_its_facts_come_back_from_the_book():
    facts = Asked("Whose is it?", about="A-007", entry=4)
    assert round_trip(facts) == facts

"""What `answered` does to the book."""

from collection.core.events.answered import Answered
from collection.core.state import State
from tests.core.book import after, round_trip


def test_an_answer_closes_the_question():
    assert after(Answered("Bo's."), State(condition="open")).condition == "answered"


def test_an_answer_is_its_own_sentence():
    assert Answered("Bo's.").sentence() == "Answered: Bo's."


def test_its_facts_come_back_from_the_book():
    facts = Answered("Bo's.")
    assert round_trip(facts) == facts

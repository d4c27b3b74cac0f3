"""What `disposed` does to the book."""

from collection.core.events.disposed import Disposed
from collection.core.state import State
from tests.core.book import after, round_trip


def test_it_stands_as_disposed_and_its_owner_is_another_chain():
    assert after(Disposed("P-5"), State(owner="P-1")) == State(standing="disposed", owner="P-1")
    assert after(Disposed("P-5"), role="to") == State()


def test_what_is_gone_already_cannot_leave_again():
    states = {"subject": State(standing="stolen")}
    assert Disposed().problems(states) == ("The book says it is stolen, yet it was disposed of.",)
    assert Disposed().problems({"subject": State()}) == ()


def test_it_says_to_whom():
    assert Disposed("P-5").sentence() == "Disposed of, now with P-5."
    assert Disposed().sentence() == "Disposed of."
    assert (Disposed("P-5").names(), Disposed().names()) == ({"to": "P-5"}, {})


def test_its_facts_come_back_from_the_book():
    facts = Disposed("P-5")
    assert round_trip(facts) == facts

"""What `sold` does to the book."""

from collection.core.events.sold import Sold
from collection.core.state import State
from tests.core.book import after, round_trip


def test_it_stands_as_sold_and_its_owner_is_another_chain():
    assert after(Sold("P-5"), State(owner="P-1")) == State(standing="sold", owner="P-1")
    assert after(Sold("P-5"), role="to") == State()


def test_what_is_gone_already_cannot_leave_again():
    states = {"subject": State(standing="stolen")}
    assert Sold().problems(states) == ("The book says it is stolen, yet it was sold.",)
    assert Sold().problems({"subject": State()}) == ()


def test_it_says_to_whom():
    assert Sold("P-5").sentence() == "Sold to P-5."
    assert Sold().sentence() == "Sold."
    assert (Sold("P-5").names(), Sold().names()) == ({"to": "P-5"}, {})


def test_its_facts_come_back_from_the_book():
    facts = Sold("P-5")
    assert round_trip(facts) == facts

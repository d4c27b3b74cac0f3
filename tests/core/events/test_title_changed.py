"""What `title_changed` does to the book."""

from collection.core.events.title_changed import TitleChanged
from collection.core.state import State
from tests.core.book import after, round_trip


def test_title_moves_the_owner_and_neither_place_nor_holder():
    before = State(owner="P-9", place="L-1", holder="P-3")
    assert after(TitleChanged("P-1"), before) == State(owner="P-1", place="L-1", holder="P-3")
    assert after(TitleChanged("P-1"), role="owner") == State()


def test_title_says_on_what_it_rests():
    assert TitleChanged("P-1", "receipt of 2011").sentence() == "Owned by P-1 (receipt of 2011)."
    assert TitleChanged("P-1").sentence() == "Owned by P-1."
    assert TitleChanged("P-1").names() == {"owner": "P-1"}


def test_its_facts_come_back_from_the_book():
    facts = TitleChanged("P-1", "receipt of 2011")
    assert round_trip(facts) == facts

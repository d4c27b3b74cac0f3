"""What `stocktaken` does to the book."""

from collection.core.events.stocktaken import Stocktaken
from collection.core.state import State
from tests.core.book import after, round_trip

FOUND = Stocktaken(
    place="P-002", list_hash="ab" * 32, expected=41, as_expected=40, not_seen=1, too_many=2,
    unlabelled=1, late=1, counted_by=("jonah",), alone=True,
)  # fmt: skip


def test_a_stocktake_is_closed_by_it_and_waits_for_a_signature():
    assert after(FOUND, State()).condition == "closed"
    assert after(FOUND, State(condition="signed")).condition == "signed"


def test_the_place_is_only_named():
    assert FOUND.names() == {"place": "P-002"}
    assert FOUND.bystanders == {"place"}
    assert FOUND.after("place", State(seen=None), moment=None) == State()


def test_closing_one_again_is_a_contradiction():
    assert FOUND.problems({"subject": State()}) == ()
    assert len(FOUND.problems({"subject": State(condition="closed")})) == 1


def test_it_says_what_was_found_and_that_one_person_did_it():
    assert FOUND.sentence() == (
        "Stocktake of P-002: 40 as expected, 1 not found, 2 too many, 1 without a label; "
        "1 added after the list was seen; counted and closed by one person."
    )
    assert Stocktaken("P-002", "ab" * 32).sentence() == "Stocktake of P-002: nothing there."


def test_it_comes_back_from_the_book_as_it_was():
    assert round_trip(FOUND) == FOUND

"""What `stocktake_signed` does to the book."""

from collection.core.events.stocktake_signed import StocktakeSigned
from collection.core.state import State
from tests.core.book import after, round_trip

RECOUNTED = StocktakeSigned("recount", "ab" * 32, drawn=("A-007", "G-003"), missed=("G-003",))


def test_it_signs_what_was_closed_and_nothing_else():
    assert after(RECOUNTED, State(condition="closed")).condition == "signed"
    assert after(RECOUNTED, State()).condition == ""


def test_signing_what_is_not_closed_is_a_contradiction():
    assert RECOUNTED.problems({"subject": State(condition="closed")}) == ()
    for condition in ("", "signed"):
        assert len(RECOUNTED.problems({"subject": State(condition=condition)})) == 1


def test_it_says_how_and_what_the_recount_missed():
    assert StocktakeSigned("photos", "ab" * 32).sentence() == "Signed from the photos."
    again = "Signed after 2 drawn by the list’s hash were counted again"
    assert RECOUNTED.sentence() == f"{again}: G-003 not there."
    assert StocktakeSigned("recount", "", drawn=("A", "B")).sentence() == f"{again}: all there."


def test_it_comes_back_from_the_book_as_it_was():
    assert round_trip(RECOUNTED) == RECOUNTED

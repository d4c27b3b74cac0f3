"""What `extended` does to the book."""

from collection.core.events.extended import Extended
from collection.core.state import State
from tests.core.book import after, proven, round_trip

FACTS = Extended("2026-12-12", "2026-12-01", "one more recording", "Mirren", ("A-018",))


def test_a_later_end_leaves_loan_and_piece_as_they_are():
    out = State(condition="out", counts=(("away", 1),))
    assert after(FACTS, out) == out
    assert after(FACTS, proven(), role="piece-1") == proven()


def test_it_says_both_days_why_and_on_whose_word():
    assert FACTS.sentence() == (
        "Runs until 12 December 2026, not 1 December 2026: one more recording. "
        "Authorised by Mirren."
    )
    assert "Authorised" not in Extended("2026-12-12", "2026-12-01", "ice.").sentence()


def test_it_names_what_is_still_out():
    assert FACTS.names() == {"piece-1": "A-018"}


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

"""What `hired_in` does to the book."""

from collection.core.events.hired_in import BORROWED, HiredIn
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_a_hired_piece_is_its_owners_and_unproven_until_somebody_hears_it():
    found = after(HiredIn("N-9", "2026-11-25", loan="LN-1", at="P-1"), proven())
    assert (found.owner, found.holder, found.place) == ("N-9", None, "P-1")
    assert found.unproven_because == "hired from somebody else"
    assert found.proofs[0].voided


def test_a_piece_that_was_given_back_can_be_borrowed_again():
    assert after(HiredIn("N-9"), State(standing="given_back", holder="N-9")).standing == "held"
    assert after(HiredIn("N-9"), State(standing="stolen")).standing == "stolen"


def test_the_loan_counts_what_is_out():
    once = after(HiredIn("N-9", loan="LN-1"), role="loan")
    assert (once.condition, once.count("away")) == ("out", 1)
    assert after(HiredIn("N-9", loan="LN-1"), once, role="loan").count("away") == 2


def test_hiring_from_somebody_who_does_not_own_it_is_a_contradiction():
    expected = "The book says N-4 owns it, yet it came from N-9."
    assert HiredIn("N-9").problems({"subject": State(owner="N-4")}) == (expected,)
    assert HiredIn("N-9").problems({"subject": State(owner="N-9")}) == ()


def test_it_says_on_what_terms_and_until_when():
    facts = HiredIn("N-9", "2026-11-25", "one night", terms=BORROWED)
    assert facts.sentence() == "Borrowed from N-9 until 2026-11-25, one night."
    assert HiredIn("N-9", loan="LN-1", at="P-1").names() == {
        "from_whom": "N-9", "loan": "LN-1", "at": "P-1",
    }  # fmt: skip


def test_its_facts_come_back_from_the_book():
    facts = HiredIn("N-9", "2026-11-25", "one night", "2026-11-24", "LN-1")
    assert round_trip(facts) == facts

"""What `lent` does to the book."""

from collection.core.events.lent import Lent
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_a_lent_piece_is_with_its_borrower_and_stays_proven():
    found = after(Lent("P-5", "2026-12"), proven())
    assert found.holder == "P-5"
    assert found.unproven_since is None
    assert after(Lent("P-5"), role="to") == State()


def test_a_lent_piece_lent_to_somebody_else_is_a_contradiction():
    states = {"subject": State(holder="P-4")}
    expected = "The book says P-4 has it, yet it was lent to P-5."
    assert Lent("P-5").problems(states) == (expected,)
    assert Lent("P-4").problems(states) == ()


def test_lending_what_is_sold_is_a_contradiction():
    states = {"subject": State(standing="sold")}
    assert Lent("P-5").problems(states) == ("The book says it is sold, yet it was lent to P-5.",)


def test_a_loan_says_until_when_and_what_for():
    facts = Lent("P-5", "2026-12", "one recording")
    assert facts.sentence() == "Lent to P-5 until 2026-12, one recording."
    assert facts.names() == {"to": "P-5"}


def test_its_facts_come_back_from_the_book():
    facts = Lent("P-5", "2026-12", "one recording")
    assert round_trip(facts) == facts


def test_a_loan_of_the_first_version_is_on_no_sheet():
    old = {"to": "P-5", "until": "2026-12", "reason": "one recording"}
    assert Lent.from_facts(old, 1) == Lent("P-5", "2026-12", "one recording")


def test_a_loan_on_a_sheet_counts_on_it_and_says_what_goes_along():
    facts = Lent("P-5", "2026-12", loan="LN-1", goes_with=("footswitch", "lead"))
    assert facts.names() == {"to": "P-5", "loan": "LN-1"}
    assert after(facts, role="loan").count("away") == 1
    assert facts.sentence() == "Lent to P-5 until 2026-12, with footswitch, lead, loan LN-1."
    assert round_trip(facts) == facts

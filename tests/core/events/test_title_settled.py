"""What `title_settled` does to the book."""

from collection.core.events.title_settled import TitleSettled
from collection.core.state import State
from tests.core.book import after, round_trip

HELD_APART = State(standing="quarantined", incident="I-1", owner="N-001")
FACTS = TitleSettled("insurers", "I-1", "N-013", True, "CL 88", "to be bought back", ("ab" * 32,))


def test_the_answer_moves_no_ownership_by_itself():
    assert after(FACTS, HELD_APART) == HELD_APART


def test_an_answer_is_one_of_three_and_about_something_that_came_back():
    assert FACTS.problems({"subject": HELD_APART}) == ()
    assert FACTS.problems({"subject": State(standing="stolen")}) == ()
    assert TitleSettled("perhaps").problems({"subject": State()}) == (
        "An answer is ours, insurers, open, not perhaps.",
        "The book says it is held; no title waits to be settled.",
    )


def test_the_answer_says_whose_it_is_and_whether_a_claim_was_paid():
    assert FACTS.sentence() == (
        "Title, says N-013: it is the insurer's (a claim was paid, reference CL 88); "
        "terms: to be bought back."
    )
    assert TitleSettled("ours").sentence() == (
        "Title, says the insurer: it is ours (no claim was paid)."
    )
    assert FACTS.names() == {"incident": "I-1", "insurer": "N-013"}


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

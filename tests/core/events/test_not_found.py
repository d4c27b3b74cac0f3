"""What `not_found` does to the book."""

from collection.core.events.not_found import NotFound
from collection.core.state import Seen, State
from tests.core.book import after, round_trip


def test_a_missed_piece_is_not_found_and_was_still_seen_when_it_was_seen():
    before = State(place="L-1", seen=Seen(5, "M-1", "L-1", "seen", 2))
    assert after(NotFound("L-1"), before) == before.now(standing="not_found")
    assert after(NotFound("L-1"), role="looked_at") == State()


def test_only_what_was_held_can_be_missed():
    for standing in ("stolen", "quarantined", "sold", "stripped"):
        assert after(NotFound("L-1"), State(standing=standing)).standing == standing


def test_missing_what_is_stolen_is_a_contradiction():
    assert NotFound("L-1").problems({"subject": State(standing="stolen")}) == (
        "The book already says it is stolen; nobody need look for it there.",
    )
    assert NotFound("L-1").problems({"subject": State()}) == ()


def test_it_says_where_and_how_somebody_looked():
    assert NotFound("L-1", "blind count").sentence() == "Not found at L-1, blind count."
    assert NotFound("L-1").sentence() == "Not found at L-1."
    assert NotFound("L-1").names() == {"looked_at": "L-1"}


def test_its_facts_come_back_from_the_book():
    facts = NotFound("L-1", "blind count")
    assert round_trip(facts) == facts

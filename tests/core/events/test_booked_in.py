"""What `booked_in` does to the book."""

from collection.core.events.booked_in import BookedIn
from collection.core.state import State
from tests.core.book import after, round_trip

FACTS = BookedIn("0412", ("A-018",))


def test_the_job_is_booked_in_and_the_piece_stays_as_it_is():
    assert after(FACTS, State(condition="sent")).condition == "booked-in"
    assert after(FACTS, State(condition="quoted")).condition == "quoted"
    assert after(FACTS, role="piece-1") == State()
    assert FACTS.bystanders == {"piece-1"}


def test_it_says_the_ticket():
    assert FACTS.sentence() == "Booked in by the repairer, ticket 0412."
    assert BookedIn().sentence() == "Booked in by the repairer."


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

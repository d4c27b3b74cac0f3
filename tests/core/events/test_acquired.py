"""What `acquired` does to the book."""

from collection.core.events.acquired import Acquired
from collection.core.state import State
from tests.core.book import after, round_trip


def test_an_acquisition_sets_the_owner_only_when_one_is_given():
    assert after(Acquired("bought", owner="P-1"), State(owner="P-9")).owner == "P-1"
    assert after(Acquired("bought"), State(owner="P-9")).owner == "P-9"
    assert after(Acquired("bought", owner="P-1"), role="owner") == State()


def test_an_acquisition_names_only_parties_that_are_given():
    assert Acquired("found").names() == {}
    assert Acquired("given", "P-2", owner="P-1").names() == {"from_whom": "P-2", "owner": "P-1"}


def test_an_acquisition_says_how_from_whom_and_who_told_it():
    facts = Acquired("bought", "P-2", "Jonah", direct=False, owner="P-1")
    assert facts.sentence() == "Bought from P-2, not directly for P-1 (told: Jonah)."
    assert Acquired("found", told_from="Jonah").sentence() == "Found (told: Jonah)."
    assert Acquired("unknown").sentence() == "Acquired, how is not known."


def test_its_facts_come_back_from_the_book():
    facts = Acquired("bought", "P-2", "Jonah", direct=None, owner="P-1")
    assert round_trip(facts) == facts

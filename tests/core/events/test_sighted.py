"""What `sighted` does to the book."""

from collection.core.events.sighted import Sighted
from collection.core.state import State
from tests.core.book import BY, after, round_trip


def test_a_sighting_sets_who_saw_it_last_and_where():
    found = after(Sighted("L-2"), State(place="L-1"))
    assert found.place == "L-2"
    assert found.seen is not None
    assert (found.seen.by, found.seen.place, found.seen.entry) == (BY, "L-2", 9)


def test_a_sighting_without_a_place_is_where_the_book_says():
    found = after(Sighted(), State(place="L-1"))
    assert found.place == "L-1"
    assert found.seen is not None
    assert found.seen.place == "L-1"


def test_a_sighting_never_lifts_stolen_but_lifts_not_found():
    assert after(Sighted("L-2"), State(standing="stolen")).standing == "stolen"
    assert after(Sighted("L-2"), State(standing="quarantined")).standing == "quarantined"
    assert after(Sighted("L-2"), State(standing="not_found")).standing == "held"


def test_seeing_what_is_stolen_is_a_contradiction():
    states = {"subject": State(standing="stolen")}
    assert Sighted("L-2").problems(states) == (
        "The book says it is stolen, yet it was seen at L-2.",
    )
    assert Sighted().problems({"subject": State(standing="not_found")}) == ()


def test_a_sighting_says_where():
    assert Sighted("L-2").sentence() == "Seen at L-2."
    assert Sighted().sentence() == "Seen where the book says."
    assert (Sighted("L-2").names(), Sighted().names()) == ({"at": "L-2"}, {})


def test_its_facts_come_back_from_the_book():
    facts = Sighted("L-2")
    assert round_trip(facts) == facts

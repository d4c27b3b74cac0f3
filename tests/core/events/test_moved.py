"""What `moved` does to the book."""

from collection.core.events.moved import Moved
from collection.core.state import State
from tests.core.book import BY, after, proven, round_trip


def test_a_move_sets_place_sighting_and_holder():
    found = after(Moved("L-2", holder="P-3"), State(place="L-1"))
    assert (found.place, found.holder) == ("L-2", "P-3")
    assert found.seen is not None
    assert (found.seen.by, found.seen.place, found.seen.entry) == (BY, "L-2", 9)
    assert after(Moved("L-2"), role="to") == State()


def test_freight_ends_the_evidence_and_carrying_does_not():
    assert after(Moved("L-2"), proven()).unproven_since is None
    found = after(Moved("L-2", "freight-sea"), proven())
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "freight by sea")


def test_moving_never_lifts_a_standing():
    for standing in ("stolen", "not_found", "quarantined", "stripped"):
        assert after(Moved("L-2"), State(standing=standing)).standing == standing


def test_moving_what_is_gone_or_not_found_is_a_contradiction():
    def said(standing: str) -> tuple[str, ...]:
        return Moved("L-2").problems({"subject": State(standing=standing)})

    assert said("held") == ()
    assert said("stolen") == ("The book says it is stolen, yet it was moved to L-2.",)
    assert said("not_found") == ("The book says it is not found, yet it was moved to L-2.",)


def test_a_move_says_where_and_how():
    assert Moved("L-2").sentence() == "Moved to L-2."
    facts = Moved("L-2", "freight-road", "P-3")
    assert facts.sentence() == "Moved to L-2, freight by road, now with P-3."
    assert facts.names() == {"to": "L-2", "holder": "P-3"}


def test_its_facts_come_back_from_the_book():
    facts = Moved("L-2", "freight-road", "P-3")
    assert round_trip(facts) == facts

"""What `stolen` does to the book."""

from collection.core.events.stolen import Stolen
from collection.core.state import Gate, State
from tests.core.book import after, proven, round_trip


def test_a_stolen_piece_stands_so_under_its_incident_and_is_unproven():
    gate = Gate("police", "answered", "", "M-1", 2)
    found = after(Stolen("I-1"), proven().now(place="L-1", gates=(gate,)))
    assert (found.standing, found.incident, found.gates) == ("stolen", "I-1", ())
    assert found.place == "L-1"
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "stolen")
    assert after(Stolen("I-1"), role="incident") == State()


def test_a_theft_that_does_not_fit_is_a_contradiction():
    def said(state: State) -> tuple[str, ...]:
        return Stolen("I-1").problems({"subject": state})

    assert said(State()) == ()
    assert said(State(standing="stolen", incident="I-1")) == ()
    assert said(State(standing="stolen", incident="I-2")) == (
        "The book already says it is stolen, under I-2.",
    )
    assert said(State(standing="sold")) == ("The book says it is sold, yet it was stolen from us.",)


def test_a_theft_says_its_window():
    facts = Stolen("I-1", "L-8", "2026-11-14T19:00:00", "2026-11-14T23:30:00")
    assert facts.sentence() == (
        "Stolen from L-8 between 2026-11-14T19:00:00 and 2026-11-14T23:30:00 (I-1)."
    )
    assert Stolen("I-1", window_from="2026-11-14").sentence() == "Stolen after 2026-11-14 (I-1)."
    assert Stolen("I-1", window_to="2026-11-14").sentence() == "Stolen before 2026-11-14 (I-1)."
    assert facts.names() == {"incident": "I-1", "from_place": "L-8"}
    assert Stolen("I-1").names() == {"incident": "I-1"}


def test_its_facts_come_back_from_the_book():
    facts = Stolen("I-1", "L-8", "2026-11-14", "2026-11-15")
    assert round_trip(facts) == facts

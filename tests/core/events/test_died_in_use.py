"""What `died_in_use` does to the book."""

from collection.core.events.died_in_use import DiedInUse
from collection.core.state import State
from tests.core.book import after, proven, round_trip

FACTS = DiedInUse(1, "T-1", "A-007", "V3", "140", "red plate")
LOT = State(counts=(("fitted", 2),))


def test_a_dead_tube_leaves_fitted_for_dead():
    assert after(FACTS, LOT).counts == (("dead", 1), ("fitted", 1))


def test_the_part_is_dead_with_its_hours_and_sits_nowhere():
    fitted = State(fitted_in="A-007", position="V3", grade="show", hours_before="60")
    assert after(FACTS, fitted, "part") == State(grade="dead", hours_before="140")


def test_the_piece_it_died_in_is_unproven():
    found = after(FACTS, proven(), "piece")
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "part died")


def test_a_death_elsewhere_than_the_book_says_is_a_contradiction():
    def said(part: State) -> tuple[str, ...]:
        return FACTS.problems({"subject": LOT, "part": part, "piece": State()})

    assert said(State(fitted_in="A-007")) == ()
    assert said(State()) == ("The book has T-1 in no piece, yet it died in A-007.",)
    assert FACTS.problems({"subject": State()}) == ("The book has 0 in fitted, yet 1 were dead.",)


def test_a_death_says_where_after_how_long_and_how():
    assert FACTS.sentence() == "1 died (T-1) in A-007 V3 after 140 h HT: red plate."
    assert DiedInUse(1).sentence() == "1 died."
    assert FACTS.names() == {"part": "T-1", "piece": "A-007"}


def test_its_facts_come_back_from_the_book():
    facts = FACTS
    assert round_trip(facts) == facts


def test_a_part_that_sits_nowhere_and_dies_is_asked_about():
    facts = DiedInUse(units=1, part="S-1")
    out, lot = State(grade="dead"), State(counts=(("fitted", 3),))
    assert facts.problems({"subject": lot, "part": out}) == (
        "The book has S-1 in no piece, yet it died.",
    )

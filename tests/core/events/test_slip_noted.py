"""What `slip_noted` does to the book."""

from collection.core.events.slip_noted import SlipNoted
from collection.core.state import State
from tests.core.book import after, round_trip

FACTS = SlipNoted(
    "L-001", "bench tester", (("", "98", "10900", ""),), "250", "250", "13.5", "switch 4", "show"
)


def test_a_tube_new_to_the_book_is_tested_with_its_grade():
    assert after(FACTS) == State(grade="tested:show")


def test_a_mate_of_the_reserve_keeps_its_bucket():
    mate = State(grade="pulled:show", hours_before="140")
    assert after(FACTS, mate) == mate


def test_the_lot_is_only_named_and_counts_as_before():
    counted = State(counts=(("tested:show", 4),))
    assert FACTS.names() == {"lot": "L-001"}
    assert after(FACTS, counted, role="lot") == counted


def test_a_slip_says_readings_and_conditions():
    assert FACTS.sentence() == (
        "Slip: 98 mA, 10900 µmho; bench tester, plate 250 V, screen 250 V, grid −13.5 V."
    )
    twin = SlipNoted("", "bench tester", (("1", "1.2", "1600", ""), ("2", "", "", "noisy")))
    assert twin.sentence() == "Slip: 1 1.2 mA, 1600 µmho; 2 noisy; bench tester."


def test_a_tube_in_a_piece_or_dead_on_the_tester_is_asked_about():
    assert FACTS.problems({"subject": State()}) == ()
    sits = FACTS.problems({"subject": State(fitted_in="A-007")})
    assert sits == ("The book has it in A-007, yet it was on the tester.",)
    assert FACTS.problems({"subject": State(grade="dead")}) == (
        "The book says it is dead, yet it was tested good.",
    )


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

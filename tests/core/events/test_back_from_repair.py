"""What `back_from_repair` does to the book."""

from collection.core.events.back_from_repair import BackFromRepair
from collection.core.state import State
from tests.core.book import after, proven, round_trip

REMOVED = (("output transformer", "returned"), ("two coupling capacitors", "missing"))
FACTS = BackFromRepair("J-001", "N-006", "P-004", REMOVED)


def test_a_piece_that_is_back_is_ours_again_and_unproven():
    found = after(FACTS, proven().now(holder="N-006", place="P-020"))
    assert (found.holder, found.place) == (None, "P-004")
    assert found.unproven_because == "return from repair"
    assert found.seen.place == "P-004"


def test_a_removed_part_that_did_not_come_back_is_a_question():
    said = "Job J-001, removed and not returned: two coupling capacitors."
    assert FACTS.problems({"subject": State(holder="N-006")}) == (said,)


def test_what_nobody_had_cannot_have_come_back():
    facts = BackFromRepair("J-001", "N-006")
    nobody = "The book says nobody has it, yet it came back from repair."
    assert facts.problems({"subject": State()}) == (nobody,)
    other = "The book says N-002 has it, yet it came back from N-006."
    assert facts.problems({"subject": State(holder="N-002")}) == (other,)


def test_the_job_is_back_with_its_last_piece():
    away = State(condition="done", counts=(("away", 2),))
    first = after(FACTS, away, "job")
    assert (first.condition, first.count("away")) == ("done", 1)
    assert after(FACTS, first, "job") == State(condition="back")
    assert after(FACTS, role="from_whom") == State()


def test_it_says_from_whom_and_counts_the_parts():
    assert FACTS.sentence() == (
        "Back from N-006 to P-004, job J-001; removed parts: output transformer returned, "
        "two coupling capacitors missing."
    )
    assert BackFromRepair("J-001").sentence() == "Back, job J-001."


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

"""What `sent_to_repair` does to the book."""

from collection.core.events.sent_to_repair import SentToRepair
from collection.core.state import State
from tests.core.book import after, proven, round_trip

FACTS = SentToRepair(
    "J-001", "N-006", "P-020", "crackle when switched", ("ring-first",), "", 30000, "GBP",
    "2026-12-01",
)  # fmt: skip


def test_a_piece_sent_away_is_with_the_repairer_and_unproven():
    found = after(FACTS, proven())
    assert (found.holder, found.place) == ("N-006", "P-020")
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "away for repair")
    assert found.proofs[0].voided == "away for repair"


def test_without_a_place_it_stays_where_the_book_last_had_it():
    assert after(SentToRepair("J-001", "N-006"), State(place="P-001")).place == "P-001"


def test_each_piece_sent_is_counted_on_the_job():
    one = after(FACTS, role="job")
    assert (one.condition, one.count("away")) == ("sent", 1)
    assert after(FACTS, one, "job").count("away") == 2
    assert after(FACTS, role="to") == State()


def test_sending_what_somebody_else_has_is_a_contradiction():
    said = "The book says N-002 has it, yet it was sent to N-006."
    assert FACTS.problems({"subject": State(holder="N-002")}) == (said,)
    assert FACTS.problems({"subject": State(holder="N-006")}) == ()
    sold = {"subject": State(standing="sold")}
    assert FACTS.problems(sold) == ("The book says it is sold, yet it was sent to N-006.",)


def test_it_says_to_whom_for_what_and_what_may_be_done_without_a_call():
    assert FACTS.sentence() == (
        "Sent to N-006 for repair, job J-001: crackle when switched; "
        "work up to 300.00\xa0GBP approved; promised for 2026-12-01."
    )
    assert SentToRepair("J-001", "N-006").sentence() == "Sent to N-006 for repair, job J-001."
    assert FACTS.names() == {"job": "J-001", "to": "N-006", "at": "P-020"}


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

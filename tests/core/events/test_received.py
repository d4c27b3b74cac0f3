"""What `received` does to the book."""

from collection.core.events.received import Received
from collection.core.state import State
from tests.core.book import after, round_trip


def test_what_was_counted_is_sealed_not_what_was_promised():
    found = after(Received(88, 96, "P-7"), State(counts=(("sealed", 4),)))
    assert found.counts == (("sealed", 92),)
    assert after(Received(88), role="from_whom") == State()


def test_a_delivery_note_that_differs_becomes_a_question():
    states = {"subject": State()}
    assert Received(88, 96).problems(states) == ("The delivery note says 96, the shelf holds 88.",)
    assert Received(88, 88).problems(states) == ()
    assert Received(88).problems(states) == ()


def test_a_receipt_says_how_many_and_what_the_paper_says():
    assert Received(88, 96, "P-7").sentence() == (
        "88 received from P-7 (the delivery note says 96)."
    )
    assert Received(88, 88).sentence() == "88 received."
    assert (Received(88, from_whom="P-7").names(), Received(88).names()) == (
        {"from_whom": "P-7"},
        {},
    )


def test_its_facts_come_back_from_the_book():
    facts = Received(88, 96, "P-7")
    assert round_trip(facts) == facts

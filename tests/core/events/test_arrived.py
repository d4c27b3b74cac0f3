"""What `arrived` does to the book."""

from collection.core.events.arrived import Arrived
from collection.core.state import State
from tests.core.book import after, proven, round_trip

FACTS = Arrived(
    "V-1", ("A-007",), ("A-012",), missing=("E-004",), others=("A grey combo",),
    waited_minutes=40, outside="corner crushed", indicator="tripped",
)  # fmt: skip


def test_what_came_stands_here_and_has_to_be_proved_again():
    found = after(FACTS, proven().now(place="FR-001"), role="thing-1")
    assert (found.place, found.unproven_because) == ("V-1", "freight")
    assert found.proofs[0].voided == "freight"


def test_what_came_in_a_case_is_unproven_in_its_case():
    found = after(FACTS, proven().now(place="CASE-12"), role="inside-1")
    assert (found.place, found.unproven_because) == ("CASE-12", "freight")


def test_what_did_not_come_is_still_on_the_way():
    waiting = proven().now(place="FR-001")
    assert after(FACTS, waiting, role="missing-1") == waiting
    assert after(FACTS).condition == "part arrived"
    assert after(Arrived("V-1", ("A-007",))).condition == "arrived"


def test_missing_wrong_and_knocked_things_are_contradictions():
    assert FACTS.problems({"subject": State(condition="on the way")}) == (
        "Sent and not arrived: E-004.",
        "Arrived and not sent: A grey combo.",
        "The indicator had tripped on arrival: what happened on the way?",
    )
    twice = Arrived("V-1").problems({"subject": State(condition="arrived")})
    assert twice == ("The book says that this shipment has arrived already.",)
    late = Arrived("V-1", ("E-004",)).problems({"subject": State(condition="part arrived")})
    assert late == ()


def test_it_says_how_it_looked():
    assert FACTS.sentence() == (
        "Arrived at V-1: A-007; not arrived: E-004; not sent, yet here: A grey combo; warmed for "
        "40 min; outside: corner crushed; shock or tilt indicator: tripped."
    )
    assert Arrived("V-1", things=("A-007",), indicator="none").sentence() == (
        "Arrived at V-1: A-007."
    )
    assert Arrived("V-1", missing=("A-007",)).sentence() == (
        "Arrived at V-1: nothing of what was sent; not arrived: A-007."
    )


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS

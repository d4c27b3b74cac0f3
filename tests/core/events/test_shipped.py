"""What `shipped` does to the book."""

from collection.core.events.moved import Moved
from collection.core.events.shipped import Shipped
from collection.core.state import State
from tests.core.book import after, proven, round_trip

FACTS = Shipped(
    "V-1", ("A-007", "CASE-12"), ("A-012",), origin="P-1", carrier="N-17", waybill="4711",
    expected="2026-11-24T18:40:00+01:00", crosses=("GB", "NO"), cautions=("glass",),
)  # fmt: skip


def test_what_is_shipped_is_nowhere_but_in_its_shipment():
    found = after(FACTS, proven().now(place="P-1"), role="thing-1", day="2026-11-24")
    assert found.place == "A-007"  # the builder's entries are about A-007: here, the shipment
    assert found.seen is not None
    assert found.seen.place == "A-007"


def test_what_is_shipped_keeps_its_evidence_until_it_arrives():
    assert after(FACTS, proven(), role="thing-1").unproven_since is None


def test_what_is_in_a_case_stays_in_its_case():
    inside = proven().now(place="CASE-12")
    assert after(FACTS, inside, role="inside-1") == inside
    assert after(FACTS, role="subject").condition == "on the way"


def test_a_later_sighting_elsewhere_ends_the_way():
    on_the_way = after(FACTS, role="thing-1")
    assert after(Moved("P-2"), on_the_way).place == "P-2"


def test_shipping_what_is_gone_is_a_contradiction_that_names_it():
    states = {"subject": State(), "thing-1": State(standing="stolen"),
              "thing-2": State(standing="not_found"), "inside-1": State()}  # fmt: skip
    assert FACTS.problems(states) == (
        "A-007: The book says it is stolen, yet it was shipped.",
        "The book says CASE-12 is not found, yet it was shipped.",
    )


def test_it_says_with_whom_and_when_it_is_expected():
    assert FACTS.sentence() == (
        "Shipped from P-1 to V-1 with N-17: A-007, CASE-12, waybill 4711, "
        "expected 2026-11-24 18:40."
    )
    assert Shipped("V-1", ("A-007",), carrier_words="a taxi").sentence() == (
        "Shipped to V-1 with a taxi: A-007."
    )


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS
    assert FACTS.names()["inside-1"] == "A-012"

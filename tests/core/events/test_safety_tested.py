"""What `safety_tested` does to the book."""

from collection.core.events.safety_tested import SafetyTested
from collection.core.state import State, Tag
from tests.core.book import after, proven, round_trip

TAGGED = State(tag=Tag("shock", "mains safety test", "M-1", 4))


def test_a_pass_is_dated_and_lifts_the_tag_only_when_it_says_so():
    found = after(SafetyTested(True, "0.1"), TAGGED)
    assert found.safety_passed_on == "2026-11-24"
    assert found.tag == TAGGED.tag
    assert after(SafetyTested(True, "0.1", lifts_tag=True), TAGGED).tag is None


def test_a_failure_ends_the_last_pass_and_every_proof_and_keeps_the_tag():
    before = proven().now(safety_passed_on="2025-11-01", tag=TAGGED.tag)
    found = after(SafetyTested(False, "4.2", lifts_tag=True), before)
    assert found.safety_passed_on is None
    assert found.unproven_because == "failed safety test"
    assert found.tag == TAGGED.tag


def test_a_pass_on_an_unknown_day_dates_nothing():
    assert after(SafetyTested(True), State(safety_passed_on="2020-01-01"), day="") == State(
        safety_passed_on="2020-01-01"
    )


def test_a_safety_test_says_its_readings():
    facts = SafetyTested(True, "0.08", "210", "new", "T1A", "bench tester", lifts_tag=True)
    assert facts.sentence() == (
        "Mains safety passed: earth 0.08 Ω, insulation 210 MΩ, cord new, fuse T1A, "
        "with bench tester; DO NOT POWER lifted."
    )
    assert SafetyTested(False, lifts_tag=True).sentence() == "Mains safety failed."


def test_its_facts_come_back_from_the_book():
    facts = SafetyTested(True, "0.08", "210", "new", "T1A", "bench tester", lifts_tag=True)
    assert round_trip(facts) == facts

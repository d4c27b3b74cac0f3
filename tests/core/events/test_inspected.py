"""What `inspected` does to the book."""

from collection.core.events.inspected import Inspected
from collection.core.state import Proof, State, Tag
from tests.core.book import after, proven, round_trip


def test_a_working_piece_is_proved_at_its_level():
    before = State().unproved("2026-11-01", "repair", 4)
    found = after(Inspected("bench-checked", "works", 40, "230"), before)
    proof = Proof("bench-checked", "2026-11-24", 9, "bench checked, 40 min, on 230 V")
    assert found.proofs == (proof,)
    assert found.unproven_since is None


def test_twenty_minutes_make_played_hot():
    """20 minutes: common practice, no source."""
    assert Inspected("played-hot", "works", 19).counts_as == "powered"
    assert Inspected("played-hot", "works", 20).counts_as == "played-hot"
    assert Inspected("played-hot", "works").counts_as == "played-hot"
    assert Inspected("bench-checked", "works", 5).counts_as == "bench-checked"


def test_a_piece_that_does_not_work_loses_its_evidence():
    found = after(Inspected("powered", "does-not"), proven())
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "failed check")
    assert found.latest("played-hot") is None


def test_a_check_on_an_unknown_day_is_only_told():
    found = after(Inspected("powered", "works"), day="")
    assert (found.proofs, found.told_works) == ((), "yes")


def test_powering_what_must_not_be_powered_is_a_contradiction():
    tagged = State(tag=Tag("smoke", "bench check", "M-1", 4))
    proposed = State(tag=Tag("smoke", "bench check", "M-1", 4, proposed=True))
    assert Inspected("powered", "works").problems({"subject": tagged}) == (
        "It carries DO NOT POWER (smoke), yet it was powered.",
    )
    assert Inspected("powered", "works").problems({"subject": proposed}) == ()


def test_an_inspection_says_level_time_mains_and_result():
    facts = Inspected("played-hot", "works", 25, "240")
    assert facts.sentence() == "Inspected (played hot, 25 min, on 240 V): works."
    assert Inspected("powered", "does-not").sentence() == "Inspected (powered): does not work."


def test_its_facts_come_back_from_the_book():
    facts = Inspected("played-hot", "works", 25, "240")
    assert round_trip(facts) == facts

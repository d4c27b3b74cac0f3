"""What dated evidence amounts to on a day; the days a proof counts are house rules."""

from datetime import date

import pytest

from collection.core.state import Proof, State
from collection.core.working import DAYS, working

TODAY = date(2026, 11, 24)


def proved(level, on, **state):
    return State(proofs=(Proof(level, on, 1, "tried"),), **state)


@pytest.mark.parametrize(
    ("level", "last_good", "first_stale"),
    [
        ("powered", "2026-10-25", "2026-10-24"),
        ("played-hot", "2026-08-26", "2026-08-25"),
        ("bench-checked", "2026-05-28", "2026-05-27"),
    ],
)
def test_a_proof_counts_thirty_ninety_or_a_hundred_and_eighty_days(level, last_good, first_stale):
    assert dict(DAYS) == {"powered": 30, "played-hot": 90, "bench-checked": 180}
    assert working(proved(level, last_good), today=TODAY).verdict == "fresh"
    assert working(proved(level, last_good), today=TODAY).until == TODAY
    assert working(proved(level, first_stale), today=TODAY).verdict == "unproven"


def test_the_proof_that_counts_longest_is_the_one_that_is_named():
    powered, bench = Proof("powered", "2026-11-20", 2), Proof("bench-checked", "2026-10-01", 1)
    found = working(State(proofs=(powered, bench)), today=TODAY)
    assert (found.verdict, found.level) == ("fresh", "bench-checked")
    assert found.until == date(2027, 3, 30)


def test_freight_ends_the_evidence():
    state = proved("played-hot", "2026-11-01").unproved("2026-11-06", "freight by sea", 2)
    found = working(state, today=TODAY)
    assert found.verdict == "unproven"
    assert found.sentence == "unproven since Fri 6 Nov: freight by sea"


def test_an_open_fault_without_a_later_proof_means_it_does_not_work():
    state = proved("played-hot", "2026-11-01").with_fault("F-001", "open")
    state = state.unproved("2026-11-10", "fault F-001", 2)
    assert working(state, today=TODAY).verdict == "not-working"


def test_a_piece_played_since_with_its_fault_still_open_is_unproven_not_fresh():
    state = State().with_fault("F-001", "intermittent").unproved("2026-11-10", "fault F-001", 1)
    state = state.proved(Proof("played-hot", "2026-11-22", 2))
    found = working(state, today=TODAY)
    assert found.verdict == "unproven"
    assert "F-001 is open" in found.sentence


def test_a_failed_check_means_it_does_not_work():
    state = proved("powered", "2026-11-20").unproved("2026-11-21", "failed check", 2)
    assert working(state, today=TODAY).verdict == "not-working"


def test_a_fault_that_was_fixed_no_longer_speaks_against_a_proof():
    state = proved("played-hot", "2026-11-22").with_fault("F-001", "fixed")
    assert working(state, today=TODAY).verdict == "fresh"


@pytest.mark.parametrize(
    ("told", "verdict"),
    [("yes", "told"), ("no", "not-working"), ("unclear", "unknown"), ("", "unknown")],
)
def test_hearsay_is_no_proof_but_a_no_is_believed(told, verdict):
    assert working(State(told_works=told), today=TODAY).verdict == verdict


def test_hearsay_counts_for_nothing_once_something_ended_the_evidence():
    state = State(told_works="yes").unproved("", "freight by air", 1)
    found = working(state, today=TODAY)
    assert (found.verdict, found.sentence) == ("unproven", "unproven: freight by air")

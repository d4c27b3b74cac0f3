"""Laws of the fold, over random histories of one piece and of one lot."""

from __future__ import annotations

import json

from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.bucket import total
from collection.core.chronology import in_order
from collection.core.entry import Entry
from collection.core.events.cleared import Cleared
from collection.core.events.counted import Counted
from collection.core.events.described import Described
from collection.core.events.died_in_use import DiedInUse
from collection.core.events.faulted import Faulted
from collection.core.events.found_again import FoundAgain
from collection.core.events.hired_back import HiredBack
from collection.core.events.hired_in import HiredIn
from collection.core.events.inspected import Inspected
from collection.core.events.issued import Issued
from collection.core.events.kind import Kind
from collection.core.events.lent import Lent
from collection.core.events.moved import Moved
from collection.core.events.not_found import NotFound
from collection.core.events.played import Played
from collection.core.events.pulled import Pulled
from collection.core.events.received import Received
from collection.core.events.recovered import Recovered
from collection.core.events.repaired import Repaired
from collection.core.events.returned import Returned
from collection.core.events.safety_tested import SafetyTested
from collection.core.events.serviced import Serviced
from collection.core.events.sighted import Sighted
from collection.core.events.stolen import Stolen
from collection.core.events.tag_lifted import TagLifted
from collection.core.events.tagged_out import TaggedOut
from collection.core.events.tested import Tested as Graded
from collection.core.events.told_working import ToldWorking
from collection.core.events.written_off import WrittenOff
from collection.core.fold import apply, fold, roles
from collection.core.state import KEPT_PROOFS, Proof, State, from_json, to_json
from tests.core.book import BERGEN, entry, utc

OF_A_PIECE: list[Kind] = [
    Cleared("identity", "answered", evidence=("grain", "scar")),
    Cleared("condition", "not-apply", "looked over"),
    Described((("maker", "Corrie"),)),
    Faulted("F-1", "hum"),
    Faulted("F-1", "crackle", intermittent=True, again=True),
    HiredBack("P-3", "L-4"),
    HiredIn("P-3", at="L-5"),
    Inspected("played-hot", "works", 30),
    Inspected("powered", "does-not"),
    Lent("P-1"),
    Moved("L-1"),
    Moved("L-2", "freight-air", "P-2"),
    NotFound("L-1"),
    Recovered("", "L-2", mislaid=True),
    Recovered("I-1", "L-2"),
    Repaired("capacitor", fault="F-1"),
    Returned(at="L-3"),
    SafetyTested(True, lifts_tag=True),
    SafetyTested(False),
    Serviced("strings"),
    Sighted("L-4"),
    Stolen("I-1"),
    TagLifted("bench check"),
    TaggedOut("smoke"),
    TaggedOut("wet", proposed=True),
    ToldWorking("yes"),
]
BUCKETS = ("sealed", "tested:V1", "fitted", "pulled:show", "dead", "lost")
units = st.integers(1, 9)
buckets = st.sampled_from(BUCKETS)
graded = st.lists(st.tuples(st.sampled_from(["V1", "show"]), units), max_size=3).map(tuple)
OF_A_LOT = st.one_of(
    st.builds(Received, units, st.none() | units),
    st.builds(Graded, units, graded, units),
    st.builds(Issued, units, st.sampled_from(["sealed", "V1", "pulled:show"])),
    st.builds(Pulled, units, st.sampled_from(["show", "bench"])),
    st.builds(DiedInUse, units),
    st.builds(WrittenOff, units, buckets, to=st.sampled_from(["lost", "dead"])),
    st.builds(FoundAgain, units, buckets),
    st.builds(Counted, st.lists(st.tuples(buckets, st.integers(0, 9)), max_size=3).map(tuple)),
)
DATES = st.sampled_from(["", "2025", "2026-08", "2026-11-03", "2026-11-24", "2026-11-24T20:15:00"])


def book(facts: list[tuple[Kind, str]], subject: str = "A-007") -> list[Entry]:
    """Entries in the order written, each a minute after the one before."""
    return [
        entry(
            kind,
            number,
            happened,
            subject=subject,
            recorded_at=utc(f"2026-11-24T{number // 60:02d}:{number % 60:02d}"),
        )
        for number, (kind, happened) in enumerate(facts)
    ]


histories = st.lists(st.tuples(st.sampled_from(OF_A_PIECE), DATES), max_size=30)
lots = st.lists(st.tuples(OF_A_LOT, DATES), max_size=30)


@given(histories)
@settings(max_examples=80, deadline=None)
def test_applying_an_entry_at_the_end_equals_refolding_everything(history):
    ordered = in_order(book(history), zone=BERGEN)
    stored = to_json(State())
    for count, placed in enumerate(ordered, start=1):
        stored = to_json(apply(from_json(stored), placed, "A-007", BERGEN))
        assert from_json(stored) == fold(ordered[:count], "A-007", BERGEN)


@given(histories)
@settings(max_examples=80, deadline=None)
def test_the_order_entries_are_read_in_does_not_matter(history):
    entries = book(history)
    assert in_order(entries, zone=BERGEN) == in_order(reversed(entries), zone=BERGEN)


@given(histories)
@settings(max_examples=80, deadline=None)
def test_a_state_survives_being_stored_as_json(history):
    state = fold(in_order(book(history), zone=BERGEN), "A-007", BERGEN)
    assert from_json(json.loads(json.dumps(to_json(state)))) == state


@given(lots)
@settings(max_examples=150, deadline=None)
def test_what_was_received_is_the_sum_of_all_buckets(history):
    state = fold(in_order(book(history, "T-LOT"), zone=BERGEN), "T-LOT", BERGEN)
    received = sum(kind.units for kind, _ in history if isinstance(kind, Received))
    assert total(state) == received
    assert all(n > 0 for bucket, n in state.counts if bucket != "unexplained")
    assert from_json(json.loads(json.dumps(to_json(state)))) == state


@given(histories)
@settings(max_examples=80, deadline=None)
def test_a_stolen_piece_comes_back_only_by_recovery_and_gates(history):
    state = State(standing="stolen", incident="I-1")
    for placed in in_order(book(history), zone=BERGEN):
        before, state = state, apply(state, placed, "A-007", BERGEN)
        if before.standing == "stolen" and state.standing != "stolen":
            assert placed.entry.kind == "recovered"
        if before.standing == "quarantined" and state.standing == "held":
            assert placed.entry.kind == "cleared"


def test_an_entry_reaches_everything_it_names_in_the_role_it_has_there():
    show = entry(
        Played(("A-007", "A-008"), ("A-009",), ht_hours="2"), 3, "2026-11-20", subject="S-1"
    )
    placed = in_order([show], zone=BERGEN)
    assert roles(placed[0], "A-008") == ("piece-2",)
    assert roles(placed[0], "A-001") == ()
    assert fold(placed, "S-1", BERGEN) == State(condition="played", last=3)
    assert fold(placed, "A-008", BERGEN) == State(
        proofs=(Proof("played-hot", "2026-11-20", 3, "show, 2 h HT"),), last=3
    )
    assert fold(placed, "A-009", BERGEN) == State()


def test_a_thing_named_in_two_roles_feels_both():
    swapped = entry(Issued(1, part="T-1", piece="A-007"), 2, "2026-11-20", subject="A-007")
    placed = in_order([swapped], zone=BERGEN)
    assert roles(placed[0], "A-007") == ("subject", "piece")
    found = fold(placed, "A-007", BERGEN)
    assert found.count("fitted") == 1
    assert found.unproven_because == "tube change"


def test_an_entry_without_effect_is_not_the_last_that_changed_anything():
    ordered = in_order(
        book([(Moved("L-1"), "2026-11-03"), (Described(), "2026-11-04")]), zone=BERGEN
    )
    assert fold(ordered, "A-007", BERGEN).last == 0


def test_a_state_at_rest_is_stored_as_nothing():
    assert to_json(State()) == {}
    assert from_json({}) == State()


def test_only_the_newest_proofs_are_kept():
    state = State()
    for number in range(KEPT_PROOFS + 3):
        state = state.proved(Proof("powered", "2026-11-03", number))
    assert len(state.proofs) == KEPT_PROOFS
    assert state.proofs[0].entry == KEPT_PROOFS + 2

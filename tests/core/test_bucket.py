"""Units of a lot are moved between buckets, never made and never lost."""

import inspect
import sys

from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.bucket import bucket_of, short, total, transfer
from collection.core.events import KINDS
from collection.core.events.counted import Counted
from collection.core.events.died_in_use import DiedInUse
from collection.core.events.fitted import Fitted
from collection.core.events.found_again import FoundAgain
from collection.core.events.issued import Issued
from collection.core.events.kept_out import KeptOut
from collection.core.events.matched import Matched
from collection.core.events.parted import Parted
from collection.core.events.pulled import Pulled
from collection.core.events.received import Received
from collection.core.events.removed import Removed
from collection.core.events.tested import Tested as OnTheTester
from collection.core.events.written_off import WrittenOff
from collection.core.state import State
from tests.core.book import after

LOT = State(counts=(("fitted", 2), ("sealed", 3)))


def test_a_transfer_keeps_the_total():
    found = transfer(LOT, units=2, source="sealed", target="lost")
    assert found.counts == (("fitted", 2), ("lost", 2), ("sealed", 1))
    assert total(found) == total(LOT) == 5


def test_what_the_source_lacks_is_unexplained_and_the_source_never_goes_below_zero():
    found = transfer(LOT, units=4, source="sealed", target="lost")
    assert found.counts == (("fitted", 2), ("lost", 4), ("unexplained", -1))
    assert total(found) == 5


def test_a_shortage_is_said_with_both_numbers():
    assert short(LOT, units=3, source="sealed", done="tested") == ()
    assert short(LOT, units=4, source="sealed", done="tested") == (
        "The book has 3 in sealed, yet 4 were tested.",
    )


def test_a_grade_is_a_bucket_of_tested_units():
    assert [bucket_of(g) for g in ("", "sealed", "V1", "pulled:show")] == [
        "sealed",
        "sealed",
        "tested:V1",
        "pulled:show",
    ]


# -- every kind that moves units -------------------------------------------------------------
some = st.integers(0, 5)
bucket = st.sampled_from(
    ["sealed", "tested:show", "pulled:show", "kept-out", "fitted", "dead", "lost", "unexplained"]
)
KINDS_THAT_MOVE = {
    "received": st.builds(Received, some),
    "tested": st.builds(
        OnTheTester, some,
        st.lists(st.tuples(st.sampled_from(["show", "quiet"]), some)).map(tuple), some,
    ),
    "issued": st.builds(Issued, some, bucket),
    "pulled": st.builds(Pulled, some, st.sampled_from(["show", "bench"])),
    "died_in_use": st.builds(DiedInUse, some),
    "written_off": st.builds(WrittenOff, some, bucket, to=st.sampled_from(["lost", "dead"])),
    "found_again": st.builds(FoundAgain, some, bucket),
    "kept_out": st.builds(KeptOut, some, bucket, back_to=st.sampled_from(["", "sealed"])),
    "counted": st.builds(
        Counted, st.dictionaries(bucket, some, max_size=3).map(lambda d: tuple(d.items()))
    ),
    "fitted": st.builds(Fitted, st.just("S-1"), units=some, bucket=bucket | st.just("")),
    "removed": st.builds(
        Removed, st.just("S-1"), units=some,
        to=st.sampled_from(["pulled", "tested", "kept-out", "dead", "unknown"]),
    ),
    "matched": st.builds(
        Matched, st.just("L-1"), bucket, st.just(()),
        moves=st.lists(st.tuples(bucket, some), max_size=2).map(tuple),
    ),
    "parted": st.builds(
        Parted, st.just("L-1"), st.sampled_from([(), ("T-1",), ("T-1", "T-2")]),
        source=bucket, lost=some,
    ),
}  # fmt: skip
# These are about a piece or a set; the lot stands in another role.
FROM_ASIDE = {"fitted", "removed", "matched", "parted"}


@settings(max_examples=60)
@given(st.lists(st.one_of(*KINDS_THAT_MOVE.values()), max_size=12))
def test_no_kind_makes_or_loses_a_unit_whatever_the_book_held(history):
    state, received = State(), 0
    for facts in history:
        role = "lot" if facts.kind in FROM_ASIDE else "subject"
        received += facts.units if facts.kind == "received" else 0
        state = after(facts, state, role)
        assert total(state) == received
        assert all(n >= 0 for name, n in state.counts if name != "unexplained")


def test_every_kind_that_moves_units_is_among_them():
    """A kind that calls on buckets without standing in the law above would go unwatched."""
    moving = {kind for kind, facts in KINDS.items() if _speaks_of_buckets(facts)}
    assert moving == KINDS_THAT_MOVE.keys()


def _speaks_of_buckets(facts: type) -> bool:
    source = inspect.getsource(sys.modules[facts.__module__])
    return "transfer(" in source or ".shifted(" in source

"""Units of a lot are moved between buckets, never made and never lost."""

from collection.core.bucket import bucket_of, short, total, transfer
from collection.core.state import State

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

"""Numbers of entries, joined where they follow each other."""

from hypothesis import given
from hypothesis import strategies as st

from collection.core.ranges import in_ranges


def test_runs_are_joined_and_the_order_does_not_matter():
    assert in_ranges([7, 1, 2, 3, 9, 10]) == "1–3, 7, 9–10"
    assert in_ranges([]) == ""


@given(st.sets(st.integers(0, 60)))
def test_every_number_can_be_read_back(numbers):
    parts = [part.split("–") for part in in_ranges(numbers).split(", ") if part]
    assert {n for part in parts for n in range(int(part[0]), int(part[-1]) + 1)} == numbers

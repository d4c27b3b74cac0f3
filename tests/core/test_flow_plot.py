"""A flow is as wide as its counts, and is not drawn when the sides differ."""

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.drawing.flow import FlowEnd, flow_plot

counts = st.lists(st.integers(0, 60), min_size=1, max_size=8)


def _high(path: str) -> float:
    """Height of a band at its right end: 'V' says where its lower edge begins."""
    top, low = re.search(r"100 ([\d.]+)V([\d.]+)C", path).groups()
    return float(low) - float(top)


def test_bands_are_as_wide_as_their_counts():
    plot = flow_plot([FlowEnd("received", 20)], [FlowEnd("sealed", 15), FlowEnd("dead", 5)])
    wide, narrow = (_high(band.path) for band in plot.bands)
    assert wide == pytest.approx(3 * narrow)
    assert [bar.end.units for bar in plot.right] == [15, 5]


@given(counts)
def test_the_bands_fill_both_sides(units):
    ends = [FlowEnd(f"end {n}", many) for n, many in enumerate(units)]
    plot = flow_plot([FlowEnd("received", sum(units))], ends)
    assert sum(bar.end.units for bar in plot.right) == sum(units)
    assert sum(bar.end.units for bar in plot.left) == sum(units)
    rows = [bar.top for bar in plot.right]
    assert all(later - sooner >= 23.9 for sooner, later in pairwise(rows))


def test_what_two_sources_bring_goes_on_from_the_top_down():
    plot = flow_plot(
        [FlowEnd("received", 4), FlowEnd("on paper only", 2, "note")],
        [FlowEnd("sealed", 4), FlowEnd("never counted in", 2, "note")],
    )
    assert [band.manner for band in plot.bands] == ["", "note"]


@pytest.mark.parametrize(
    ("ends", "said"),
    [([FlowEnd("sealed", 3)], "4 units come in and 3 go out"),
     ([FlowEnd("sealed", 5), FlowEnd("lost", -1)], "'lost' has -1 units")],
)  # fmt: skip
def test_sides_that_differ_are_refused(ends, said):
    with pytest.raises(ValueError, match=said):
        flow_plot([FlowEnd("received", 4)], ends)


def test_nothing_received_draws_nothing():
    assert flow_plot([FlowEnd("received", 0)], [FlowEnd("sealed", 0)]).bands == ()

"""Pairs and sets of four against brute force, a recursion over subsets, and plain greed.

The tolerances are common practice, no source; that the pairs are optimal is mathematics.
"""

import random
from fractions import Fraction
from functools import cache
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.matching import match
from tests.core.matching_references import apart, brute, greedy, tubes

TENTH = {"current_tolerance": 0.1, "gm_tolerance": 0.1}

few = st.lists(st.tuples(st.integers(300, 420), st.integers(90, 125)), min_size=0, max_size=10).map(
    lambda drawn: [(f"T{n}", ma / 10, gm * 100) for n, (ma, gm) in enumerate(drawn)]
)


def by_subsets(readings, tolerance):
    """Most pairs, then least spread, by recursion over subsets as bits; exact."""
    cost = {
        (i, j): apart((readings[i], readings[j]), tolerance)
        for i, j in combinations(range(len(readings)), 2)
    }

    @cache
    def best(free):
        if not free:
            return (0, Fraction(0))
        first = (free & -free).bit_length() - 1
        rest = free & (free - 1)
        options = [best(rest)]
        for mate in range(first + 1, len(readings)):
            if rest >> mate & 1 and (spread := cost[first, mate]) is not None:
                pairs, total = best(rest & ~(1 << mate))
                options.append((pairs - 1, total + spread))
        return min(options)

    pairs, total = best((1 << len(readings)) - 1)
    return -pairs, float(total)


@given(few)
@settings(max_examples=40, deadline=None)
def test_pairs_equal_brute_force_up_to_ten_tubes(readings):
    found = match(readings, size=2, **TENTH)
    pairs, total = brute(readings, 0.1)
    assert len(found.sets) == pairs
    assert found.total_spread == pytest.approx(total, abs=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_pairs_equal_a_recursion_over_subsets_of_sixteen(seed):
    readings = tubes(16, seed=seed)
    found = match(readings, size=2, **TENTH)
    pairs, total = by_subsets(readings, 0.1)
    assert len(found.sets) == pairs
    assert found.total_spread == pytest.approx(total, abs=1e-9)


@pytest.mark.parametrize("seed", range(3))
def test_sixty_tubes_beat_greed(seed):
    readings = tubes(60, seed=seed)
    found = match(readings, size=2, **TENTH)
    pairs, total = greedy(readings, 0.1)
    assert len(found.sets) >= pairs
    assert (-len(found.sets), found.total_spread) < (-pairs, total)


def test_more_pairs_come_before_closer_pairs():
    # B and C are twins; taking them would leave A and D alone.
    readings = [("A", 40, 9000), ("B", 37, 9000), ("C", 37, 9000), ("D", 34, 9000)]
    found = match(readings, size=2, **TENTH)
    assert sorted(found.sets) == [("A", "B"), ("C", "D")]


def test_spread_and_left_over_are_told_closest_set_first():
    readings = [("A", 40, 9000), ("B", 36, 9000), ("C", 25, 9000), ("D", 25, 8910), ("E", 9, 9000)]
    found = match(readings, size=2, **TENTH)
    assert found.sets == (("C", "D"), ("A", "B"))
    assert found.spread == pytest.approx((0.01, 0.1))
    assert found.left_over == ("E",)


@pytest.mark.parametrize("top", [30, 33.3, 40, 41.7, 55.1])
def test_a_tolerance_met_exactly_is_met_and_no_more(top):
    low = round(top * 0.9, 3)
    for column in (1, 2):
        edge = [["A", 50, 50], ["B", 50, 50]]
        edge[0][column], edge[1][column] = top, low
        assert match(edge, size=2, **TENTH).sets == (("A", "B"),)
        edge[1][column] = round(low - 0.001, 3)
        assert match(edge, size=2, **TENTH).sets == ()


def test_no_tolerance_pairs_only_equals():
    readings = [("A", 40, 9000), ("B", 40.0, 9000), ("C", 40.1, 9000)]
    found = match(readings, size=2, current_tolerance=0, gm_tolerance=0)
    assert found.sets == (("A", "B"),)
    assert found.left_over == ("C",)


@given(few, st.sampled_from([2, 4]))
@settings(max_examples=40, deadline=None)
def test_every_tube_is_in_one_set_or_left_over(readings, size):
    found = match(readings, size=size, **TENTH)
    told = [code for members in found.sets for code in members] + list(found.left_over)
    assert sorted(told) == sorted(code for code, _, _ in readings)
    assert all(len(members) == size for members in found.sets)
    by_code = {reading[0]: reading for reading in readings}
    for members, spread in zip(found.sets, found.spread, strict=True):
        exact = apart([by_code[code] for code in members], 0.1)
        assert exact is not None, "a set out of tolerance"
        assert spread == pytest.approx(float(exact), abs=1e-9)


@given(few, st.randoms(use_true_random=False))
@settings(max_examples=30, deadline=None)
def test_the_order_of_the_readings_changes_nothing_that_counts(readings, draw):
    shuffled = draw.sample(readings, len(readings))
    first, second = (match(each, size=2, **TENTH) for each in (readings, shuffled))
    assert first == second


@pytest.mark.parametrize("seed", range(6))
def test_fours_are_never_worse_than_pairing_the_pairs(seed):
    draw = random.Random(seed)
    readings = tubes(draw.randint(8, 30), seed=seed)
    fours = match(readings, size=4, **TENTH)
    pairs = match(readings, size=2, **TENTH)
    by_code = {reading[0]: reading for reading in readings}
    sets, total = pairs_of_pairs(pairs.sets, by_code)
    assert (-len(fours.sets), fours.total_spread) <= (-sets, total + 1e-9)


def pairs_of_pairs(pairs, by_code):
    """Pairs paired optimally by the recursion over subsets, each pair standing for its tubes."""
    cost = {}
    for i, j in combinations(range(len(pairs)), 2):
        cost[i, j] = apart([by_code[code] for code in pairs[i] + pairs[j]], 0.1)

    @cache
    def best(free):
        if not free:
            return (0, Fraction(0))
        first, *rest = free
        options = [best(tuple(rest))]
        for mate in rest:
            if cost[first, mate] is not None:
                sets, total = best(tuple(each for each in rest if each != mate))
                options.append((sets - 1, total + cost[first, mate]))
        return min(options)

    sets, total = best(tuple(range(len(pairs))))
    return -sets, float(total)


def test_a_four_that_no_pairing_of_pairs_gives_is_still_found():
    # The best pairs are 30–32, 32–34, 35–38, 38–39, and no two of them are within a tenth.
    currents = (30, 32, 32, 34, 35, 38, 38, 39)
    readings = [(f"T{n}", ma, 9000) for n, ma in enumerate(currents)]
    assert len(match(readings, size=2, **TENTH).sets) == 4
    found = match(readings, size=4, **TENTH)
    assert [[currents[int(code[1:])] for code in four] for four in found.sets] == [[32, 32, 34, 35]]


def test_the_same_code_twice_is_refused():
    with pytest.raises(ValueError, match="A is read twice"):
        match([("A", 40, 9000), ("A", 41, 9000)], size=2, **TENTH)


@pytest.mark.parametrize("size", [0, 1, 3, 5, 6, -2])
def test_another_size_is_refused(size):
    with pytest.raises(ValueError, match="sets of 2 or 4"):
        match([], size=size, **TENTH)


@pytest.mark.parametrize("value", [0, -1, float("nan"), float("inf")])
@pytest.mark.parametrize("column", [1, 2])
def test_a_reading_that_is_no_positive_number_is_refused(value, column):
    reading = ["A", 40, 9000]
    reading[column] = value
    with pytest.raises(ValueError, match="A reads"):
        match([tuple(reading)], size=2, **TENTH)


@pytest.mark.parametrize("tolerance", [-0.1, 1, 10, float("nan")])
def test_a_tolerance_in_per_cent_is_refused(tolerance):
    with pytest.raises(ValueError, match="fraction"):
        match([], size=2, current_tolerance=tolerance, gm_tolerance=0.1)
    with pytest.raises(ValueError, match="fraction"):
        match([], size=2, current_tolerance=0.1, gm_tolerance=tolerance)


def test_no_tubes_make_no_sets():
    assert match([], size=2, **TENTH).sets == ()
    assert match([("A", 40, 9000)], size=4, **TENTH).left_over == ("A",)

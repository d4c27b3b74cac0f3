"""How long matching takes and what it gains: `python -m tests.benchmarks.matching`."""

from __future__ import annotations

import time

from collection.core.matching import Matching, Reading, match
from tests.core.matching_references import brute, greedy, tubes

TOLERANCE = 0.1


def matched(readings: list[Reading], *, size: int = 2) -> Matching:
    """Within a tenth in current and gm."""
    return match(readings, size=size, current_tolerance=TOLERANCE, gm_tolerance=TOLERANCE)


def quality(count: int, *, seeds: range) -> str:
    """Pairs and their mean spread against greed, over several batches."""
    ours, theirs = [0.0, 0.0], [0.0, 0.0]
    for seed in seeds:
        readings = tubes(count, seed=seed)
        found = matched(readings)
        pairs, total = greedy(readings, TOLERANCE)
        ours = [ours[0] + len(found.sets), ours[1] + found.total_spread]
        theirs = [theirs[0] + pairs, theirs[1] + total]
    return (
        f"{ours[0]:.0f} pairs, {100 * ours[1] / ours[0]:.2f} % apart; "
        f"greed {theirs[0]:.0f} pairs, {100 * theirs[1] / theirs[0]:.2f} %"
    )


def seconds(count: int, *, size: int) -> float:
    """One batch, one run, after the graph library is loaded."""
    readings = tubes(count, seed=1)
    start = time.perf_counter()
    matched(readings, size=size)
    return time.perf_counter() - start


def least_spread_ratio(*, seeds: range) -> str:
    """Our spread over that of brute force for ten tubes: 1 where both have as many pairs."""
    same, ratio = 0, 0.0
    for seed in seeds:
        readings = tubes(10, seed=seed)
        found = matched(readings)
        pairs, total = brute(readings, TOLERANCE)
        same += len(found.sets) == pairs
        ratio = max(ratio, found.total_spread / total if total else 1.0)
    return f"{ratio:.9f}, as many pairs in {same} of {len(seeds)}"


def measure() -> list[tuple[str, str]]:
    """Times for 60 and 200 tubes, then ours over brute force and beside greed."""
    seconds(10, size=2)
    return [
        ("60 tubes in pairs", f"{1e3 * seconds(60, size=2):.0f} ms"),
        ("60 tubes in fours", f"{1e3 * seconds(60, size=4):.0f} ms"),
        ("200 tubes in pairs", f"{seconds(200, size=2):.1f} s"),
        ("200 tubes in fours", f"{seconds(200, size=4):.1f} s"),
        ("spread over brute force, ten tubes, worst", least_spread_ratio(seeds=range(10))),
        ("10 batches of 60", quality(60, seeds=range(10))),
    ]


if __name__ == "__main__":
    for name, figure in measure():
        print(f"{name:42} {figure}")

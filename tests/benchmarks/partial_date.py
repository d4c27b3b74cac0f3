"""How long a partial date takes to read, beside PyPI `edtf` in the same run."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Sequence

from edtf import parse_edtf

from collection.core.partial_date import PartialDate
from collection.core.serial import search

REPEATS = 5


def ordinary_dates(count: int, *, seed: int) -> list[str]:
    """Dates as a book holds them, all different enough that no cache would help."""
    rng = random.Random(seed)
    makers: Sequence[Callable[[], str]] = (
        lambda: f"{year(rng)}-{rng.randint(1, 12):02d}-{rng.randint(1, 28):02d}",
        lambda: f"{year(rng)}-{rng.randint(1, 12):02d}",
        lambda: f"{year(rng)}{rng.choice(['', '~', '?'])}",
        lambda: f"{rng.randint(190, 202)}X",
        lambda: f"{1900 + rng.randint(0, 50)}/{1951 + rng.randint(0, 70)}",
        lambda: f"../{year(rng)}",
        lambda: f"{year(rng)}-{rng.randint(1, 12):02d}-{rng.randint(1, 28):02d}/..",
    )
    return [rng.choice(makers)() for _ in range(count)]


def year(rng: random.Random) -> int:
    """A year in which gear was made, sold or played."""
    return rng.randint(1900, 2026)


def seconds_each(read: Callable[[str], object], texts: Sequence[str], *, repeats: int) -> float:
    """The best of several runs, in seconds a text."""
    best = float("inf")
    for _ in range(repeats):
        start = time.perf_counter()
        for text in texts:
            read(text)
        best = min(best, time.perf_counter() - start)
    return best / len(texts)


def their_bounds(text: str) -> object:
    """What the package has to do for the same answer: parse, then both bounds."""
    found = parse_edtf(text)
    return found.lower_strict(), found.upper_strict()


def measure() -> list[tuple[str, str]]:
    """Our time a parse and a reading, theirs, and the ratio; uncached, best of several runs."""
    texts = ordinary_dates(5000, seed=1)
    ours = seconds_each(PartialDate.parse, texts, repeats=REPEATS)
    spoken = ["about 1961", "14/08/2025", "early 60s", "before 1970", "9 Jun 2019"] * 100
    spoken_each = seconds_each(PartialDate.read, spoken, repeats=REPEATS)
    theirs = seconds_each(their_bounds, texts[:300], repeats=1)
    return [
        ("partial date, parse", f"{ours * 1e6:.1f} µs"),
        ("partial date, as people say it", f"{spoken_each * 1e6:.0f} µs"),
        ("the same with PyPI edtf", f"{theirs * 1e6:.0f} µs"),
        ("ratio to PyPI edtf", f"{theirs / ours:.0f} ×"),
        ("100,000 serials searched", f"{serial_search() * 1e3:.0f} ms"),
    ]


def serial_search() -> float:
    """Seconds for one misread number among 100,000."""
    rng = random.Random(1)
    ours = [f"{rng.choice(['', 'A', 'AW-'])}{rng.randrange(10**6)}" for _ in range(100_000)]
    return seconds_each(lambda reported: search(reported, ours), ["A1234S"], repeats=REPEATS)


if __name__ == "__main__":
    for name, figure in measure():
        print(f"{name:34} {figure}")

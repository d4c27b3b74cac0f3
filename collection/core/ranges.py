"""Numbers of entries in few signs."""

from __future__ import annotations

from collections.abc import Iterable


def in_ranges(numbers: Iterable[int]) -> str:
    """Numbers in ascending order, runs joined.

    >>> in_ranges([15, 12, 13, 18])
    '12–13, 15, 18'
    """
    found: list[list[int]] = []
    for number in sorted(set(numbers)):
        if found and found[-1][1] == number - 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    return ", ".join(f"{a}" if a == b else f"{a}–{b}" for a, b in found)

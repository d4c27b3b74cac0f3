"""Is this number one of ours: serial numbers as they are misread, misheard and mistyped.

A match is a candidate, never an identity: makers reused numbers, and numbers are worn and faked.

The distance is a weighted edit distance with swapped neighbours (optimal string alignment: no part
is edited twice). Spaces, dashes and case do not count. Costs are house figures: a character taken
for one that looks like it .25, an unreadable one ('?', on either side) .1, two neighbours swapped
.5, a character wrong, missing or too many 1. At most min(2, length / 3) is a match, the length
being that of the cleaned report.

Source: confusable characters after common practice with worn stamps and handwriting, no standard;
the alignment after Boytsov (2011), Indexing methods for approximate dictionary searching, §2.2.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
import numpy.typing as npt

CONFUSABLE: Final = ("O0QD", "I1LJ7", "S5", "B83", "Z27", "G6C", "UV", "KH", "9P")
UNREADABLE: Final = "?"

# In hundredths, so that sums are exact.
_SIMILAR, _UNREAD, _SWAPPED, _OTHER, _LIMIT = 25, 10, 50, 100, 200
_BAND = _LIMIT // _OTHER  # how far lengths may differ
_IGNORED = re.compile(r"[\s\-\u2010-\u2015\u2212]+")
_TOGETHER = {(a, b) for group in CONFUSABLE for a in group for b in group}

_Numbers = npt.NDArray[np.int32]
_Step = tuple[Literal["keep", "change", "swap", "missing", "extra"], int, int]


@dataclass(frozen=True)
class SerialMatch:
    """One of our serials that a reported number may be.

    `differs_at` are positions from 0 in the cleaned report; a character that the report lacks
    counts at the one before which it belongs, or at the last. `distance` is 0 for the same number.
    """

    serial: str
    distance: float
    differs_at: tuple[int, ...]
    because: str


def search(reported: str, serials: Iterable[str]) -> tuple[SerialMatch, ...]:
    """The serials that a reported number may be, nearest first, the same number before all.

    `serials` are as kept; equal ones come back once. An empty report matches nothing. 100,000
    serials take some tens of milliseconds.

    >>> [match.serial for match in search("O12-345", ["012345", "99"])]
    ['012345']
    """
    report = cleaned(reported)
    ours = list(dict.fromkeys(serials))
    if not report or not ours:
        return ()
    near = (ours[place] for place in _near(report, ours))
    matches = [_match(report, serial) for serial in near]
    return tuple(sorted(matches, key=lambda m: (m.distance, cleaned(m.serial) != report, m.serial)))


def cleaned(serial: str) -> str:
    """Upper case without spaces and dashes, as numbers are compared."""
    return _IGNORED.sub("", serial).upper()


def _cost(one: str, other: str) -> int:
    if UNREADABLE in (one, other):
        return _UNREAD
    if one == other:
        return 0
    return _SIMILAR if (one, other) in _TOGETHER else _OTHER


# -- all serials at once ---------------------------------------------------------------------


def _near(report: str, serials: list[str]) -> list[int]:
    limit = min(_LIMIT, len(report) * 100 // 3)
    places, letters, lengths = _columns(report, serials)
    return [int(place) for place in places[_distances(report, letters, lengths) <= limit]]


def _columns(
    report: str, serials: list[str]
) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.uint32], npt.NDArray[np.intp]]:
    """Places, letters (position, serial) and lengths of the serials of about the right length."""
    # One string for all is cleaned at once; cleaning each takes longer than comparing them.
    whole = "\n".join(serials)
    if whole.count("\n") != len(serials) - 1:
        whole = "\n".join(re.sub(r"\s", "", serial) for serial in serials)
    codes = np.frombuffer(
        re.sub(r"[^\S\n]+|[\-\u2010-\u2015\u2212]+", "", whole).upper().encode("utf-32-le"),
        np.uint32,
    )
    ends = np.append(np.flatnonzero(codes == ord("\n")), len(codes))
    starts = np.concatenate(([0], ends[:-1] + 1))
    lengths = ends - starts
    places = np.flatnonzero((np.abs(lengths - len(report)) <= _BAND) & (lengths > 0))
    longest = len(report) + _BAND
    at = np.minimum(starts[places] + np.arange(longest)[:, None], len(codes) - 1)
    return places, codes[at], lengths[places]


def _distances(
    report: str, letters: npt.NDArray[np.uint32], lengths: npt.NDArray[np.intp]
) -> _Numbers:
    """Distances in hundredths, right up to `_LIMIT`; cells outside the band are left out."""
    width, count = letters.shape
    far = np.full(count, 30_000, np.int32)
    row: list[_Numbers] = [np.full(count, j * _OTHER, np.int32) for j in range(width + 1)]
    before = row
    for i, letter in enumerate(report, 1):
        above, row = row, [far] * (width + 1)
        if i <= _BAND:
            row[0] = np.full(count, i * _OTHER, np.int32)
        for j in range(max(1, i - _BAND), min(width, i + _BAND) + 1):
            best = above[j - 1] + _costs(letter, letters[j - 1])
            if j < i + _BAND:
                np.minimum(best, above[j] + np.int32(_OTHER), out=best)
            if j > i - _BAND:
                np.minimum(best, row[j - 1] + np.int32(_OTHER), out=best)
            if i > 1 and j > 1:
                swapped = (letters[j - 1] == ord(report[i - 2])) & (letters[j - 2] == ord(letter))
                best[swapped] = np.minimum(best, before[j - 2] + np.int32(_SWAPPED))[swapped]
            row[j] = best
        before = above
    return np.choose(np.clip(lengths - len(report) + _BAND, 0, 2 * _BAND), _ends(row, report, far))


def _ends(row: list[_Numbers], report: str, far: _Numbers) -> list[_Numbers]:
    middle = len(report)
    return [row[j] if j > 0 else far for j in range(middle - _BAND, middle + _BAND + 1)]


def _costs(letter: str, column: npt.NDArray[np.uint32]) -> _Numbers:
    table = np.full(128, _OTHER, np.int32)
    for code in range(128):
        table[code] = _cost(letter, chr(code))
    costs: _Numbers = table[np.minimum(column, 127)]
    if ord(letter) > 126:
        costs[column == ord(letter)] = 0
    return costs


# -- one serial ------------------------------------------------------------------------------


def _match(report: str, serial: str) -> SerialMatch:
    ours = cleaned(serial)
    distance, steps = _alignment(report, ours)
    last = len(report) - 1
    differs = {min(i + k, last) for kind, i, _ in steps for k in range(1 + (kind == "swap"))}
    because = "; ".join(_words(report, ours, step) for step in steps)
    return SerialMatch(serial, distance / 100, tuple(sorted(differs)), because or "the same number")


def _alignment(report: str, ours: str) -> tuple[int, list[_Step]]:
    """The distance in hundredths and the steps that are not 'keep', from left to right."""
    rows = [[j * _OTHER for j in range(len(ours) + 1)]]
    for i in range(1, len(report) + 1):
        rows.append([i * _OTHER])
        for j in range(1, len(ours) + 1):
            rows[i].append(min(cost for cost, _ in _options(rows, report, ours, (i, j))))
    i, j = len(report), len(ours)
    steps: list[_Step] = []
    while i or j:
        _, step = min(_options(rows, report, ours, (i, j)), key=lambda option: option[0])
        kind, i, j = step
        if kind != "keep":
            steps.append(step)
    return rows[-1][-1], steps[::-1]


def _options(
    rows: list[list[int]], report: str, ours: str, cell: tuple[int, int]
) -> list[tuple[int, _Step]]:
    i, j = cell
    options: list[tuple[int, _Step]] = []
    if i and j:
        cost = _cost(report[i - 1], ours[j - 1])
        step: _Step = ("change" if cost else "keep", i - 1, j - 1)
        options.append((rows[i - 1][j - 1] + cost, step))
    if i > 1 and j > 1 and report[i - 2 : i] == ours[j - 2 : j][::-1]:
        options.append((rows[i - 2][j - 2] + _SWAPPED, ("swap", i - 2, j - 2)))
    if i:
        options.append((rows[i - 1][j] + _OTHER, ("extra", i - 1, j)))
    if j:
        options.append((rows[i][j - 1] + _OTHER, ("missing", i, j - 1)))
    return options


def _words(report: str, ours: str, step: _Step) -> str:
    kind, i, j = step
    if kind == "swap":
        return f"characters {i + 1} and {i + 2} swapped: {report[i : i + 2]} for {ours[j : j + 2]}"
    if kind == "extra":
        return f"character {i + 1} too many: {report[i]}"
    if kind == "missing":
        return (
            f"{ours[j]} missing {'at the end' if i == len(report) else f'before character {i + 1}'}"
        )
    if UNREADABLE in (report[i], ours[j]):
        return f"character {i + 1} unreadable: {report[i]} for {ours[j]}"
    looks = "looks like" if _cost(report[i], ours[j]) == _SIMILAR else "is not"
    return f"character {i + 1}: {report[i]} {looks} {ours[j]}"

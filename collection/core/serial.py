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
from functools import cached_property
from typing import Final, Literal

import numpy as np
import numpy.typing as npt

CONFUSABLE: Final = ("O0QD", "I1LJ7", "S5", "B83", "Z27", "G6C", "UV", "KH", "9P")
UNREADABLE: Final = "?"

# In hundredths, so that sums are exact.
_SIMILAR, _UNREAD, _SWAPPED, _OTHER, _LIMIT = 25, 10, 50, 100, 200
_WIDTH = {"keep": 1, "change": 1, "swap": 2, "missing": 1, "extra": 1}
_BAND = _LIMIT // _OTHER  # how far lengths may differ
_IGNORED = re.compile(r"[\s\-\u2010-\u2015\u2212]+")
_TOGETHER = {(a, b) for group in CONFUSABLE for a in group for b in group}

# Every space and dash meant by `_IGNORED` lies below U+3001; line ends part the serials.
_IGNORED_CODES = np.array(
    [_IGNORED.fullmatch(chr(code)) is not None and chr(code) != "\n" for code in range(0x3002)]
)

_Numbers = npt.NDArray[np.int32]
_Letters = npt.NDArray[np.uint32]
_Places = npt.NDArray[np.intp]
_Step = tuple[Literal["keep", "change", "swap", "missing", "extra"], int, int]


@dataclass(frozen=True)
class SerialMatch:
    """One of our serials that a reported number may be.

    `report` is the cleaned report; `distance` is 0 for the same number.
    """

    serial: str
    distance: float
    report: str

    @cached_property
    def differs_at(self) -> tuple[int, ...]:
        """Positions from 0 in the cleaned report.

        A character that the report lacks counts at the one before which it belongs, or at the last.
        """
        last = len(self.report) - 1
        return tuple(
            sorted({min(i + k, last) for kind, i, _ in self._steps for k in range(_WIDTH[kind])})
        )

    @cached_property
    def because(self) -> str:
        """What differs, in words; 'the same number' where nothing does."""
        words = (_words(self.report, cleaned(self.serial), step) for step in self._steps)
        return "; ".join(words) or "the same number"

    @cached_property
    def _steps(self) -> list[_Step]:
        return _alignment(self.report, cleaned(self.serial))


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
    matches = [SerialMatch(ours[place], cost / 100, report) for place, cost in _near(report, ours)]
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


def _near(report: str, serials: list[str]) -> list[tuple[int, int]]:
    """Place and distance in hundredths of every serial within the limit."""
    limit = min(_LIMIT, len(report) * 100 // 3)
    places, letters, lengths = _columns(report, serials)
    costs = _distances(report, letters, lengths)
    kept = costs <= limit
    return list(zip(places[kept].tolist(), costs[kept].tolist(), strict=True))


def _columns(report: str, serials: list[str]) -> tuple[_Places, _Letters, _Places]:
    """Places, letters (position, serial) and lengths of the serials of about the right length."""
    # All serials are cleaned as one text: cleaning each takes longer than comparing them.
    whole = "\n".join(serials)
    if whole.count("\n") != len(serials) - 1:
        whole = "\n".join(cleaned(serial) for serial in serials)
    codes = np.frombuffer(whole.upper().encode("utf-32-le", "surrogatepass"), np.uint32)
    codes = codes[~_IGNORED_CODES[np.minimum(codes, len(_IGNORED_CODES) - 1)]]
    ends = np.append(np.flatnonzero(codes == ord("\n")), len(codes))
    starts = np.concatenate(([0], ends[:-1] + 1))
    lengths = ends - starts
    places = np.flatnonzero((np.abs(lengths - len(report)) <= _BAND) & (lengths > 0))
    if not len(places):
        return places, np.zeros((len(report) + _BAND, 0), np.uint32), places
    at = starts[places] + np.arange(len(report) + _BAND)[:, None]
    return places, codes[np.minimum(at, len(codes) - 1)], lengths[places]


def _distances(report: str, letters: _Letters, lengths: _Places) -> _Numbers:
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


def _alignment(report: str, ours: str) -> list[_Step]:
    """What must be done to the report, from left to right, without what is kept."""
    rows = [[j * _OTHER for j in range(len(ours) + 1)]]
    for i in range(1, len(report) + 1):
        rows.append([i * _OTHER])
        for j in range(1, len(ours) + 1):
            rows[i].append(min(cost for cost, _ in _options(rows, report, ours, (i, j))))
    i, j = len(report), len(ours)
    steps: list[_Step] = []
    while i or j:
        step = min(_options(rows, report, ours, (i, j)), key=lambda option: option[0])[1]
        kind, i, j = step
        if kind != "keep":
            steps.append(step)
    return steps[::-1]


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

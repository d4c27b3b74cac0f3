"""The date ladder: each dated part and document as a bar on a line of years, and the bounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from collection.core.drawing.scale import Anchor, anchor, place

Look = Literal["original", "likely", "unknown", "replaced", "document", "claim"]
MOST_TICKS = 9


@dataclass(frozen=True)
class Dated:
    """Something with a date: from when to when (None is open), its words, how it is drawn."""

    words: str
    earliest: date | None
    latest: date | None
    look: Look
    wrong: str = ""  # what speaks against it, in a few words


@dataclass(frozen=True)
class Rung:
    """One bar: places in percent; an end is open where the date is, or off the scale."""

    words: str
    look: Look
    wrong: str
    x: float
    width: float
    open_start: bool
    open_end: bool

    @property
    def right(self) -> float:
        """Where the bar ends, percent."""
        return round(self.x + self.width, 2)


@dataclass(frozen=True)
class Bound:
    """A line from top to bottom: not before, or not after; its words get a row of their own."""

    x: float
    words: str
    firm: bool


@dataclass(frozen=True)
class Tick:
    """A year on the line at the top."""

    x: float
    year: str
    anchor: Anchor


@dataclass(frozen=True)
class Ladder:
    """The whole drawing, every place in percent of the width: rungs are drawn one below another.

    Words stand above each bar and each bound as text of the page, so that they wrap on a phone.
    """

    ticks: tuple[Tick, ...]
    rungs: tuple[Rung, ...]
    bounds: tuple[Bound, ...]
    window: tuple[float, float] | None
    first: int
    last: int


def ladder(
    rows: Sequence[Dated],
    *,
    not_before: date | None,
    not_before_likely: date | None,
    not_after: date | None,
    years: tuple[int, int],
) -> Ladder:
    """Lay dated things on the years `years`, both included; what lies outside ends at the edge.

    Raises:
        ValueError: a scale that ends before it starts.
    """
    first, last = years
    if last < first:
        raise ValueError(f"a scale from {first} to {last} has no length")
    rungs = tuple(_rung(row, first, last) for row in rows)
    likely = _differs(not_before_likely, not_before)
    lines = (
        ("not before", not_before, True),
        ("not after", not_after, True),
        ("with likely parts not before", likely, False),
    )
    bounds = tuple(
        Bound(_place(on, first, last), f"{words} {_day(on)}", firm)
        for words, on, firm in lines
        if on is not None and first <= on.year <= last
    )
    return Ladder(_ticks(first, last), rungs, bounds, _window(not_before, not_after, years),
                  first, last)  # fmt: skip


def scale_for(rows: Sequence[Dated], span: tuple[int, int] | None) -> tuple[int, int]:
    """First and last year to draw: the span of the design and every part, a little air around.

    Documents written long after are left outside the scale and drawn at its edge: the years
    that matter would shrink to nothing. Far means over 20 years after everything else (house
    rule).
    """
    near = [row for row in rows if row.look not in {"document", "claim"}]
    found = [*(span or ()), *_years(near)] or _years(rows) or [1950, 1970]
    low, high = min(found), max(found)
    for year in sorted(_years(rows)):
        if low - 20 <= year <= high + 20:
            low, high = min(low, year), max(high, year)
    return low - 1, high + 1


def _years(rows: Sequence[Dated]) -> list[int]:
    return [day.year for row in rows for day in (row.earliest, row.latest) if day]


def _differs(on: date | None, other: date | None) -> date | None:
    return on if on != other else None


def _place(on: date, first: int, last: int) -> float:
    begins, ends = date(first, 1, 1), date(last + 1, 1, 1)
    return place(on.toordinal(), begins.toordinal(), ends.toordinal())


def _rung(row: Dated, first: int, last: int) -> Rung:
    start = _place(row.earliest, first, last) if row.earliest else 0.0
    end = _place(row.latest, first, last) if row.latest else 100.0
    width = max(end - start, 0.8)
    x = min(start, 100 - width)
    return Rung(
        row.words,
        row.look,
        row.wrong,
        round(x, 2),
        round(width, 2),
        row.earliest is None or row.earliest.year < first,
        row.latest is None or row.latest.year > last,
    )


def _ticks(first: int, last: int) -> tuple[Tick, ...]:
    step = next(n for n in (1, 2, 5, 10, 20, 50, 100) if (last + 1 - first) / n <= MOST_TICKS)
    years = [year for year in range(first, last + 2) if year % step == 0]
    return tuple(
        Tick(x := _place(date(year, 1, 1), first, last), str(year), anchor(x)) for year in years
    )


def _window(
    low: date | None, high: date | None, years: tuple[int, int]
) -> tuple[float, float] | None:
    """The window as (x, width), None where nothing bounds it or the bounds contradict."""
    if (low is None and high is None) or (low and high and low > high):
        return None
    x = _place(low, *years) if low else 0.0
    right = _place(high, *years) if high else 100.0
    return x, round(right - x, 2)


def _day(on: date) -> str:
    return f"{on.day} {on:%b} {on.year}"

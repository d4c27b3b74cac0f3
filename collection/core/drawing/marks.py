"""Stock you can count: one mark, one tube, seven states with a drawing each."""

from collections.abc import Mapping
from dataclasses import dataclass

STATES = ("sealed", "tested", "bench", "pulled", "fitted", "dead", "unexplained")
PITCH = 10  # units from mark to mark
MARK_WIDE, MARK_HIGH = 6.8, 15
A_LINE = 30  # marks on a line, so that a phone still shows each
LINE_HIGH = 19
MOST_MARKS = 60
GROUPS = (1, 5, 10, 50, 100, 500, 1000)  # tubes a mark may stand for, round numbers only


@dataclass(frozen=True)
class Mark:
    """One mark by its left and upper edge, in units of the view box."""

    x: float
    y: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return round(self.x + MARK_WIDE, 1)

    @property
    def middle(self) -> float:
        """Half way across."""
        return round(self.x + MARK_WIDE / 2, 1)

    @property
    def foot(self) -> float:
        """Its lower edge."""
        return self.y + MARK_HIGH

    @property
    def waist(self) -> float:
        """Half way up."""
        return self.y + MARK_HIGH / 2


@dataclass(frozen=True)
class GaugeRow:
    """The tubes in one state, and their marks in lines of thirty."""

    state: str
    count: int
    marks: tuple[Mark, ...]
    wide: int
    high: int


@dataclass(frozen=True)
class Gauge:
    """Rows that share one measure: `each` tubes a mark, the last mark of a row may be fewer."""

    rows: tuple[GaugeRow, ...]
    each: int


def gauge(counts: Mapping[str, int]) -> Gauge:
    """Draw counts of tubes by state; rows without a tube are left out.

    One mark is one tube as long as no row needs more than sixty; then a mark stands for the
    smallest round number that keeps every row within sixty (a house rule).

    Raises:
        ValueError: a state that has no drawing, a count below zero, over 60,000 in one state.
    """
    for state, count in counts.items():
        if state not in STATES:
            raise ValueError(f"no drawing for {state!r}; accepted: {', '.join(STATES)}")
        if not 0 <= count <= MOST_MARKS * GROUPS[-1]:
            raise ValueError(f"{count} tubes {state}; accepted: 0 to {MOST_MARKS * GROUPS[-1]}")
    longest = max(counts.values(), default=0)
    each = next(size for size in GROUPS if longest <= MOST_MARKS * size)
    rows = (_row(state, counts[state], each) for state in STATES if counts.get(state))
    return Gauge(tuple(rows), each)


def _row(state: str, count: int, each: int) -> GaugeRow:
    number = -(-count // each)
    marks = tuple(
        Mark(round(0.6 + PITCH * (n % A_LINE), 1), 1 + LINE_HIGH * (n // A_LINE))
        for n in range(number)
    )
    lines = -(-number // A_LINE)
    return GaugeRow(state, count, marks, PITCH * A_LINE, LINE_HIGH * lines - 2)

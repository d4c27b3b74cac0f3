"""What came in on the left, where it went on the right: bands as wide as their counts.

House rule of the picture: the two sides add up to the same number, or it is not drawn. A band is
never thinner than a line, so that one tube among ninety is still seen; its label has a line of its
own.
"""

from collections.abc import Sequence
from dataclasses import dataclass

TALL = 200.0  # pixels of the taller side's bands, before the gaps
MOST_EACH = 9.0  # pixels of one unit at most
ROW = 24.0  # pixels a label needs
TOP = 30.0  # pixels above the bands, for the label of the left side
RIGHT = 52.0  # percent of the width at which the right side stands


@dataclass(frozen=True)
class FlowEnd:
    """One end of the flow: its words, its units, and a manner (a class of the drawing)."""

    words: str
    units: int
    manner: str = ""


@dataclass(frozen=True)
class FlowBar:
    """An end drawn: top and height in pixels, and the line its label stands on."""

    end: FlowEnd
    top: float
    high: float

    @property
    def label_at(self) -> float:
        """Baseline of the label in pixels, level with the middle of the bar."""
        return round(self.top + self.high / 2 + 5, 1)


@dataclass(frozen=True)
class FlowBand:
    """One band as path data in a box of 100 by `high` of the plot."""

    path: str
    manner: str


@dataclass(frozen=True)
class FlowPlot:
    """Bars on both sides and the bands between them; `high` in pixels."""

    left: tuple[FlowBar, ...]
    right: tuple[FlowBar, ...]
    bands: tuple[FlowBand, ...]
    high: float


def flow_plot(sources: Sequence[FlowEnd], ends: Sequence[FlowEnd]) -> FlowPlot:
    """Draw units flowing from sources to ends; both are taken from the top down in order.

    Ends without units are left out. With no unit at all, a plot without bands comes back.

    Raises:
        ValueError: an end has fewer than no units, or the sides do not add up to the same.
    """
    sources, ends = [s for s in sources if s.units], [e for e in ends if e.units]
    _check(sources, ends)
    total = sum(end.units for end in ends)
    if not total:
        return FlowPlot((), (), (), 0.0)
    each = min(MOST_EACH, TALL / total)
    right = _bars(ends, each, least=ROW)
    high = right[-1].top + max(right[-1].high, ROW)
    left = _bars(sources, each, least=0.0)
    return FlowPlot(left, right, tuple(_bands(left, right, each)), round(high + 4, 1))


def _check(sources: Sequence[FlowEnd], ends: Sequence[FlowEnd]) -> None:
    for end in (*sources, *ends):
        if end.units < 0:
            raise ValueError(f"{end.words!r} has {end.units} units; accepted: 0 or more")
    here, there = sum(s.units for s in sources), sum(e.units for e in ends)
    if here != there:
        raise ValueError(f"{here} units come in and {there} go out; accepted: as many")


def _bars(ends: Sequence[FlowEnd], each: float, *, least: float) -> tuple[FlowBar, ...]:
    bars, top = [], TOP
    for end in ends:
        high = end.units * each
        bars.append(FlowBar(end, round(top, 1), round(high, 1)))
        top += max(high + (6.0 if least else 0.0), least)
    return tuple(bars)


def _bands(left: Sequence[FlowBar], right: Sequence[FlowBar], each: float) -> list[FlowBand]:
    """Each stretch of the left side that goes to one end of the right, from the top down."""
    found = []
    given = [0] * len(left)
    place = 0
    for bar in right:
        wanted, top = bar.end.units, bar.top
        while wanted:
            taken = min(wanted, left[place].end.units - given[place])
            start = left[place].top + given[place] * each
            manner = left[place].end.manner or bar.end.manner
            found.append(FlowBand(_path(start, top, taken * each), manner))
            given[place] += taken
            wanted, top = wanted - taken, top + taken * each
            if given[place] == left[place].end.units:
                place += 1
    return found


def _path(start: float, end: float, high: float) -> str:
    """A band with level ends, in a box 100 wide."""
    s, e, h = round(start, 1), round(end, 1), round(max(high, 1.0), 1)
    return f"M0 {s}C50 {s} 50 {e} 100 {e}V{e + h:.1f}C50 {e + h:.1f} 50 {s + h:.1f} 0 {s + h:.1f}Z"

"""What is left, year by year: a middle line in a band of eight chances in ten."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, isfinite

from collection.core.drawing.scale import Label, labels, place

LEFT = 8.0  # percent of the width kept for the figures of the upright axis
ROOM = 15.0  # percent a label needs on a phone
YEAR_LABELS = 5


@dataclass(frozen=True)
class FanSeries:
    """One forecast: years (rising) and what is left with chance 0.1, 0.5 and 0.9 below it."""

    words: str
    years: tuple[float, ...]
    low: tuple[float, ...]
    middle: tuple[float, ...]
    high: tuple[float, ...]


@dataclass(frozen=True)
class FanLine:
    """A forecast drawn: the band and the middle line as path data in a box of 100 by 100."""

    words: str
    band: str
    line: str
    dashed: bool
    out: float | None

    @property
    def out_year(self) -> int | None:
        """The calendar year the middle line meets zero in."""
        return None if self.out is None else floor(self.out)


@dataclass(frozen=True)
class FanPlot:
    """Lines, upright figures (height percent from the top, text), years, and where lines end."""

    lines: tuple[FanLine, ...]
    heights: tuple[tuple[float, str], ...]
    years: tuple[Label, ...]
    ends: tuple[Label, ...]
    top: int

    @property
    def high(self) -> int:
        """Height in pixels: where two ends are close, the second label stands below the first."""
        return 336 if any(label.level for label in self.ends) else 302


def fan_plot(series: Sequence[FanSeries]) -> FanPlot:
    """Draw one or more forecasts on one scale; the first is solid, the others dashed.

    Figures below zero are drawn as zero. `out` of a line is the year its middle meets zero,
    by straight interpolation between the given years, or None within the horizon.

    Raises:
        ValueError: no forecast, arrays of unequal length, under two years, years that do not
            rise, or a figure that is not finite.
    """
    if not series:
        raise ValueError("no forecast to draw; accepted: one or more")
    for one in series:
        _check(one)
    first = min(one.years[0] for one in series)
    last = max(one.years[-1] for one in series)
    step = nice_step(max(max(one.high) for one in series))
    top = step * max(1, ceil(max(max(one.high) for one in series) / step))
    lines = tuple(_line(one, n > 0, (first, last), top) for n, one in enumerate(series))
    ends = [
        (_across(one.out, first, last), one.words, f"{floor(one.out)}")
        for one in lines
        if one.out is not None
    ]
    return FanPlot(
        lines,
        tuple((place(top - value, 0, top), str(value)) for value in range(0, top + 1, step)),
        _year_labels(first, last),
        labels(ends, ROOM),
        top,
    )


def nice_step(most: float) -> int:
    """Distance of the upright figures: 1, 2 or 5 times a power of ten, four or five of them.

    >>> nice_step(34), nice_step(7), nice_step(180)
    (10, 2, 50)
    """
    size = 1
    while True:
        for factor in (1, 2, 5):
            if most <= 5 * factor * size:
                return factor * size
        size *= 10


def runs_out(years: Sequence[float], left: Sequence[float]) -> float | None:
    """The year `left` first meets zero, by straight interpolation, or None if it never does.

    >>> runs_out([2026, 2028, 2030], [4, 2, -2])
    2029.0
    """
    if left[0] <= 0:
        return float(years[0])
    for n in range(1, len(left)):
        if left[n] <= 0:
            part = left[n - 1] / (left[n - 1] - left[n])
            return float(years[n - 1] + part * (years[n] - years[n - 1]))
    return None


def _check(one: FanSeries) -> None:
    sizes = {len(one.years), len(one.low), len(one.middle), len(one.high)}
    if len(sizes) != 1 or len(one.years) < 2:
        raise ValueError(f"{one.words!r} has arrays of {sorted(sizes)}; accepted: equal, 2 or more")
    if any(later <= sooner for sooner, later in pairwise(one.years)):
        raise ValueError(f"the years of {one.words!r} do not rise")
    if not all(isfinite(value) for value in (*one.years, *one.low, *one.middle, *one.high)):
        raise ValueError(f"{one.words!r} holds a figure that is not finite")


def _line(one: FanSeries, dashed: bool, span: tuple[float, float], top: int) -> FanLine:
    upper = _points(one.years, one.high, span, top)
    lower = _points(one.years, one.low, span, top)
    middle = _points(one.years, one.middle, span, top)
    return FanLine(
        one.words,
        "M" + "L".join([*upper, *reversed(lower)]) + "Z",
        "M" + "L".join(middle),
        dashed,
        runs_out(one.years, one.middle),
    )


def _points(
    years: Sequence[float], values: Sequence[float], span: tuple[float, float], top: int
) -> list[str]:
    """Path points up to where the figures meet zero, which is put in where it falls."""
    out = runs_out(years, values)
    inside = [(year, value) for year, value in zip(years, values, strict=True) if value > 0]
    if out is not None:
        inside = [(year, value) for year, value in inside if year < out] + [(out, 0.0)]
    return [f"{place(year, *span)} {place(top - value, 0, top)}" for year, value in inside]


def _across(year: float, first: float, last: float) -> float:
    return round(LEFT + (100 - LEFT) * place(year, first, last) / 100, 2)


def _year_labels(first: float, last: float) -> tuple[Label, ...]:
    whole = range(ceil(first), floor(last) + 1)
    every = max(1, ceil(len(whole) / YEAR_LABELS))
    points = [(_across(year, first, last), str(year), "") for year in whole[::every]]
    return labels(points, 0.0)

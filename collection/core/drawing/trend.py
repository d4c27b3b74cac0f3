"""What was read socket by socket, over time: points on a scale, joined where they compare."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil, floor

from collection.core.drawing.fan import ROOM, nice_step
from collection.core.drawing.scale import Label, labels, place

# Percent of the width, so that on a phone (358 px) no mark covers a figure of the upright scale
# and a name with its last reading ('V4 36.5', 55 px) stands beside the last mark.
LEFT, FIGURES, RIGHT = 11.0, 8.0, 19.0
LOW, HIGH = 0.0, 100.0


@dataclass(frozen=True)
class TrendPoint:
    """One reading of one socket; `like` says whether it compares with the newest."""

    on: date
    value: float
    like: bool


@dataclass(frozen=True)
class TrendSeries:
    """Readings of one socket, oldest first."""

    name: str
    points: tuple[TrendPoint, ...]


@dataclass(frozen=True)
class Mark:
    """A point drawn: percent across and down, its words, full when it compares."""

    x: float
    y: float
    full: bool
    words: str


@dataclass(frozen=True)
class TrendLine:
    """A socket drawn: the line through what compares in a box of 100 by 100, and its marks.

    `shape`: which mark it has, the same number the same mark. `end`: where its name stands,
    percent down, lines close together pushed apart.
    """

    name: str
    shape: int
    line: str
    marks: tuple[Mark, ...]
    end: float
    last: str


@dataclass(frozen=True)
class TrendPlot:
    """Lines, upright figures (percent down, text) and the days along the foot."""

    lines: tuple[TrendLine, ...]
    heights: tuple[tuple[float, str], ...]
    days: tuple[Label, ...]
    left: float = LEFT
    width: float = 100 - LEFT - RIGHT
    right: float = 100 - RIGHT
    figures: float = FIGURES


def trend_plot(series: Sequence[TrendSeries], *, unit: str) -> TrendPlot | None:
    """Draw readings of several sockets on one scale; None where nothing was read.

    The upright scale does not begin at nought: it shows the spread of what was read.
    """
    points = [point for one in series for point in one.points]
    if not points:
        return None
    first, last = _span([point.on for point in points])
    bottom, top, step = _scale([point.value for point in points])
    drawn = [_line(one, n, (first, last), (bottom, top), unit) for n, one in enumerate(series)]
    count = round((top - bottom) / step)
    heights = [bottom + n * step for n in range(count + 1)]
    return TrendPlot(
        _pushed_apart([line for line in drawn if line.marks]),
        tuple((_down(value, bottom, top), f"{value:g}") for value in heights),
        _days(sorted({point.on for point in points}), first, last),
    )


def _span(days: Sequence[date]) -> tuple[int, int]:
    first, last = min(days).toordinal(), max(days).toordinal()
    return (first - 15, last + 15) if first == last else (first, last)


def _scale(values: Sequence[float]) -> tuple[float, float, int]:
    """Bottom, top and step, in whole steps that hold every value."""
    step = nice_step(ceil(max(values) - min(values)) or 2)
    bottom = max(0, floor(min(values) / step) * step)
    top = ceil(max(values) / step) * step
    return float(bottom), float(top if top > bottom else bottom + step), step


def _down(value: float, bottom: float, top: float) -> float:
    return round(100 - place(value, bottom, top), 2)


def _across(day: date, first: int, last: int) -> float:
    return place(day.toordinal(), first, last)


def _line(
    one: TrendSeries,
    shape: int,
    span: tuple[int, int],
    scale: tuple[float, float],
    unit: str,
) -> TrendLine:
    marks = tuple(
        Mark(
            _across(point.on, *span),
            _down(point.value, *scale),
            point.like,
            f"{one.name} {point.value:.3g} {unit}, {point.on.day} {point.on:%b %Y}",
        )
        for point in one.points
    )
    joined = [f"{mark.x} {mark.y}" for mark in marks if mark.full]
    last = one.points[-1] if one.points else None
    return TrendLine(
        one.name,
        shape % 4,
        "M" + "L".join(joined) if len(joined) > 1 else "",
        marks,
        marks[-1].y if marks else LOW,
        f"{last.value:.3g}" if last else "",
    )


def _pushed_apart(lines: Sequence[TrendLine], room: float = 9.0) -> tuple[TrendLine, ...]:
    """Names at the ends keep `room` percent between them, in the order of their lines."""
    placed: list[TrendLine] = []
    ordered = sorted(lines, key=lambda line: line.end)
    least = LOW
    for line in ordered:
        end = max(line.end, least)
        least = end + room
        placed.append(TrendLine(line.name, line.shape, line.line, line.marks, end, line.last))
    over = max((line.end for line in placed), default=LOW) - HIGH
    if over > 0:
        placed = [
            TrendLine(one.name, one.shape, one.line, one.marks, max(LOW, one.end - over), one.last)
            for one in placed
        ]
    return tuple(sorted(placed, key=lambda line: line.shape))


def _days(days: Sequence[date], first: int, last: int) -> tuple[Label, ...]:
    """As many days as have room, the first and the last among them."""
    wide = 100 - LEFT - RIGHT
    points = [(round(LEFT + wide * _across(day, first, last) / 100, 2), day) for day in days]
    kept = [points[-1]]
    for x, day in points[-2::-1]:
        if kept[-1][0] - x >= ROOM + 4:
            kept.append((x, day))
    return labels([(x, f"{day.day} {day:%b}", f"{day:%Y}") for x, day in kept], 0.0)

"""A figure that holds until the next one is said: a step line over days, from nought upwards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from collection.core.drawing.fan import nice_step
from collection.core.drawing.scale import Label, labels, place

LEFT, WIDE = 16.0, 80.0  # percent: where the drawing begins, and how much of the width it takes
ROOM = 17.0  # percent a label needs on a phone (house rule)


@dataclass(frozen=True)
class StepPlot:
    """The line in a box of 100 by 100, its corners, heights (percent down, text), days below."""

    line: str
    corners: tuple[tuple[float, float, str], ...]
    heights: tuple[tuple[float, str], ...]
    days: tuple[Label, ...]


def step_plot(points: Sequence[tuple[date, int]], *, until: date, unit: str) -> StepPlot | None:
    """Draw (day, whole units) in order of days as steps up to `until`; None where nothing is.

    The scale begins at nought, so that heights compare. `unit`: said beside every figure. A day
    after `until` is drawn at the right edge.
    """
    if not points:
        return None
    first, last = points[0][0].toordinal(), until.toordinal()
    if last <= first:
        first, last = first - 1, max(first + 1, last)
    step = nice_step(max(1, *(value for _, value in points)))
    top = step * max(1, ceil(max(value for _, value in points) / step))
    corners = [
        (
            place(on.toordinal(), first, last),
            round(100 - place(value, 0, top), 2),
            f"{value:,} {unit} from {on.day} {on:%b %Y}",
        )
        for on, value in points
    ]
    drawn = [f"M{corners[0][0]} {corners[0][1]}"]
    drawn += [f"H{x}V{y}" for x, y, _ in corners[1:]]
    heights = range(0, top + 1, step)
    return StepPlot(
        "".join(drawn) + "H100.0",
        tuple(corners),
        tuple((round(100 - place(height, 0, top), 2), f"{height:,}") for height in heights),
        _days([on for on, _ in points], until, (first, last)),
    )


def _days(days: Sequence[date], until: date, span: tuple[int, int]) -> tuple[Label, ...]:
    """As many days as have room, the last and the day it is drawn until among them."""
    kept: list[tuple[float, date]] = []
    for on in sorted({*days, until}, reverse=True):
        x = round(LEFT + WIDE * place(on.toordinal(), *span) / 100, 2)
        if not kept or kept[-1][0] - x >= ROOM:
            kept.append((x, on))
    return labels([(x, f"{on.day} {on:%b}", f"{on:%Y}") for x, on in kept], 0.0)

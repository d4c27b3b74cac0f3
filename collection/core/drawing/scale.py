"""Places on a straight scale, and labels that must not run into each other."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Anchor = Literal["", "mid", "end"]  # the class that anchors a text; '' is its start


@dataclass(frozen=True)
class Label:
    """A text at `x` percent of the width, on line `level` below the scale (0 first)."""

    x: float
    text: str
    more: str
    anchor: Anchor
    level: int


def place(value: float, first: float, last: float) -> float:
    """Percentage of the way from `first` to `last`, held within 0 to 100, two decimals.

    >>> place(2032, 2026, 2042)
    37.5

    Raises:
        ValueError: the scale has no length.
    """
    if not last > first:
        raise ValueError(f"a scale needs a length; it runs from {first} to {last}")
    return round(100 * min(max((value - first) / (last - first), 0.0), 1.0), 2)


def anchor(x: float, edge: float = 8.0) -> Anchor:
    """How a label at `x` percent is anchored, so that it never leaves the drawing."""
    if x < edge:
        return ""
    return "end" if x > 100 - edge else "mid"


def labels(points: Sequence[tuple[float, str, str]], room: float) -> tuple[Label, ...]:
    """Set (x percent, text, second line) on as few lines as leave each label `room` percent.

    Labels are taken from left to right; each goes on the first line whose last label is at
    least `room` away. `room` is a house rule: the width of a label on a phone.
    """
    placed: list[Label] = []
    last_on: list[float] = []
    for x, text, more in sorted(points, key=lambda point: point[0]):
        level = next((n for n, last in enumerate(last_on) if x - last >= room), len(last_on))
        last_on[level : level + 1] = [x]
        placed.append(Label(x, text, more, anchor(x), level))
    return tuple(placed)

"""A map without tiles: towns as dots draw the land, marks say how much is where.

Projection: Mercator on the sphere, x = λ and y = ln tan(π/4 + φ/2), in radians of the equator.
Source: J. P. Snyder (1987), Map Projections: A Working Manual, USGS Professional Paper 1395,
equations 7-1 and 7-2. Areas grow towards the poles; beyond 85 degrees nothing is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import atan, degrees, exp, log, pi, radians, sqrt, tan

from collection.core.drawing.scale import Anchor

LIMIT = 85.0  # degrees: towards the poles y grows without end
SIDE = 1000  # units of the square that paths are drawn in
LEAST = 4.0  # degrees a window is wide at least (house rule): one town alone is no map
MARGIN = 0.09  # share of the window left free around what is shown (house rule)
CELL = 8  # units: of towns in one cell the first is drawn
CLOSE = 6.0  # percent: marks nearer than this are one mark (house rule, for a phone)
BESIDE = 5  # pixels between a mark and its label
PHONE = 366  # pixels of the square on a phone of 390
LETTER, LINE = 2.0, 4.6  # percent of a phone's width that a letter and a line of text take

Point = tuple[float, float]  # latitude, longitude in degrees


def mercator(latitude: float, longitude: float) -> tuple[float, float]:
    """(x, y) on the sphere of radius 1; longitude from Greenwich, latitude held to ±85 degrees.

    >>> x, y = mercator(35.0, -75.0 + 180.0)
    >>> round(x, 7), round(y, 7)
    (1.8325957, 0.6528366)
    """
    held = radians(min(max(latitude, -LIMIT), LIMIT))
    return radians(longitude), log(tan(pi / 4 + held / 2))


def latitude_of(y: float) -> float:
    """Degrees of latitude at a height y of the projection; the inverse of `mercator`.

    Source: Snyder (1987), equation 7-4.
    """
    return 90 - degrees(2 * atan(exp(-y)))


@dataclass(frozen=True)
class Window:
    """A square of the projection: its west and north edge and its side, radians."""

    west: float
    north: float
    side: float

    def at(self, latitude: float, longitude: float) -> tuple[float, float]:
        """(x, y) of a place in percent of the square, y downwards; beyond it outside 0 to 100."""
        x, y = mercator(latitude, longitude)
        across, down = (x - self.west) / self.side, (self.north - y) / self.side
        return round(100 * across, 2), round(100 * down, 2)

    def degrees(self) -> tuple[float, float, float, float]:
        """West, south, east and north edge in degrees."""
        west, east = degrees(self.west), degrees(self.west + self.side)
        return west, latitude_of(self.north - self.side), east, latitude_of(self.north)


def window(points: Sequence[Point]) -> Window:
    """The square that shows every point with a margin.

    Raises:
        ValueError: there is nothing to show.
    Limits: a tour across the date line gets a window around the whole earth.
    """
    if not points:
        raise ValueError("a map needs something to show")
    flat = [mercator(*point) for point in points]
    xs, ys = [x for x, _ in flat], [y for _, y in flat]
    wide = max(max(xs) - min(xs), max(ys) - min(ys), radians(LEAST) * (1 - 2 * MARGIN))
    side = wide / (1 - 2 * MARGIN)
    across, up = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    return Window(across - side / 2, up + side / 2, side)


def dots(seen: Window, towns: Iterable[Point], *, most: int) -> str:
    """A path of one dot a town, at most one a cell and `most` in all; the first come are drawn."""
    taken: dict[tuple[int, int], str] = {}
    for latitude, longitude in towns:
        x, y = (round(part * SIDE / 100) for part in seen.at(latitude, longitude))
        if not (0 <= x <= SIDE and 0 <= y <= SIDE):
            continue
        taken.setdefault((x // CELL, y // CELL), f"M{x} {y}h0")
        if len(taken) >= most:
            break
    return "".join(taken.values())


def route(seen: Window, stops: Sequence[Point]) -> str:
    """A path from stop to stop in units of the square; '' for less than two."""
    spots = [seen.at(*stop) for stop in stops]
    drawn = [f"{x * SIDE / 100:.0f} {y * SIDE / 100:.0f}" for x, y in spots]
    return "M" + "L".join(drawn) if len(drawn) > 1 else ""


@dataclass(frozen=True)
class Heap:
    """Something to be marked: where, what it is called, how many, how long unseen (0 to 4)."""

    latitude: float
    longitude: float
    name: str
    count: int
    fade: int


@dataclass(frozen=True)
class Mark:
    """A mark at percentages of the square; `heaps` are numbers of the heaps it stands for."""

    x: float
    y: float
    radius: float
    count: int
    fade: int
    label: str
    label_x: float
    label_y: float
    label_dx: float  # pixels beside the mark
    anchor: Anchor
    heaps: tuple[int, ...]


def marks(seen: Window, heaps: Sequence[Heap]) -> tuple[Mark, ...]:
    """Marks of the heaps in the window, the largest first; close ones are one mark.

    A mark fades with the heap in it that was seen last. A label that would run into another one
    is left out: the table says it.
    """
    order = sorted(range(len(heaps)), key=lambda n: (-heaps[n].count, heaps[n].name))
    groups: list[tuple[float, float, list[int]]] = []
    for number in order:
        x, y = seen.at(heaps[number].latitude, heaps[number].longitude)
        if not (0 <= x <= 100 and 0 <= y <= 100):
            continue
        near = next((g for g in groups if sqrt((g[0] - x) ** 2 + (g[1] - y) ** 2) < CLOSE), None)
        if near:
            near[2].append(number)
        else:
            groups.append((x, y, [number]))
    boxes = [(x - 2, y - 2, x + 2, y + 2) for x, y, _ in groups]
    return tuple(_mark(x, y, numbers, heaps, boxes) for x, y, numbers in groups)


_Box = tuple[float, float, float, float]


def _mark(x: float, y: float, numbers: list[int], heaps: Sequence[Heap], boxes: list[_Box]) -> Mark:
    count = sum(heaps[n].count for n in numbers)
    radius = round(min(7 + 1.6 * sqrt(count), 20), 1)
    more = f" +{len(numbers) - 1}" if len(numbers) > 1 else ""
    label = heaps[numbers[0]].name + more
    at = _free(x, y, 100 * (radius + BESIDE) / PHONE, len(label) * LETTER, boxes)
    said, anchor = (label, at[2]) if at else ("", "")
    fade = min(heaps[n].fade for n in numbers)
    lx, ly = (at[0], at[1]) if at else (x, y)
    if anchor == "mid":
        beside = 0.0
    else:
        # Beside a mark the label keeps to it in pixels: on a desk a share of the width is far.
        lx, beside = x, (radius + BESIDE) * (-1 if anchor == "end" else 1)
    return Mark(x, y, radius, count, fade, said, lx, ly, beside, anchor, tuple(sorted(numbers)))


def _free(
    x: float, y: float, gap: float, wide: float, boxes: list[_Box]
) -> tuple[float, float, Anchor] | None:
    """A place for a label that runs into nothing, and takes it; None when there is none."""
    tries: tuple[tuple[float, float, Anchor, float], ...] = (
        (x + gap, y, "", x + gap),
        (x - gap, y, "end", x - gap - wide),
        (x, y + gap + LINE / 2, "mid", x - wide / 2),
        (x, y - gap - LINE / 2, "mid", x - wide / 2),
    )
    for lx, ly, anchor, left in tries:
        box = (left, ly - LINE / 2, left + wide, ly + LINE / 2)
        inside = box[0] >= 0 and box[2] <= 100 and box[1] >= 0 and box[3] <= 100
        if inside and not any(_meet(box, other) for other in boxes):
            boxes.append(box)
            return round(lx, 2), round(ly, 2), anchor
    return None


def _meet(a: _Box, b: _Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


# House rules: after how many days a sighting fades one step more, and what is said of it.
FADES = ((2, "in two days"), (14, "in two weeks"), (92, "in three months"))
FADED, NEVER = "longer ago", "never"


def fade(at: datetime | None, now: datetime) -> int:
    """How faded a sighting is: 0 fresh to 3 old, 4 when it was never seen."""
    if at is None:
        return 4
    days = (now - at).total_seconds() / 86_400
    return next((step for step, (most, _) in enumerate(FADES) if days <= most), len(FADES))


def fade_words(step: int) -> str:
    """What a step of fading says."""
    return (*(words for _, words in FADES), FADED, NEVER)[step]

"""The way of a backup as a strip: legs one after another against the time that is left."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from collection.core.drawing.scale import Label, labels, place

KINDS = ("wait", "carry", "road", "border", "air", "sea", "warm")
ROOM = 17.0  # percent a time needs on a phone


@dataclass(frozen=True)
class Leg:
    """One leg: its kind, how long in minutes, and whether that is only an estimate."""

    kind: str
    minutes: float
    estimated: bool


@dataclass(frozen=True)
class LegBox:
    """A leg on the strip in percent; a wait is a line, everything else a box."""

    kind: str
    x: float
    width: float
    right: float
    estimated: bool


@dataclass(frozen=True)
class LegStrip:
    """Boxes, ticks an hour apart, the limit's place, when the way ends, and whether in time."""

    boxes: tuple[LegBox, ...]
    ticks: tuple[float, ...]
    limits: tuple[float, ...]
    labels: tuple[Label, ...]
    ready_at: datetime
    late: bool


def leg_strip(
    legs: Sequence[Leg], *, start: datetime, end: datetime, limits: Sequence[datetime]
) -> LegStrip:
    """Lay `legs` one after another from `start` (now) on a strip that ends at `end`.

    `limits` are instants to beat, the first the one that counts (doors). What runs past the
    end of the strip is cut there; `ready_at` still says when it is over. All datetimes aware.

    Raises:
        ValueError: an unknown kind, minutes below zero, or a strip without length.
    """
    for leg in legs:
        if leg.kind not in KINDS:
            raise ValueError(f"no pattern for a leg {leg.kind!r}; accepted: {', '.join(KINDS)}")
        if leg.minutes < 0:
            raise ValueError(f"a leg of {leg.minutes} minutes; accepted: 0 or more")
    first, last = start.timestamp(), end.timestamp()
    ready_at = start + timedelta(minutes=sum(leg.minutes for leg in legs))
    strokes = tuple(place(limit.timestamp(), first, last) for limit in limits)
    points = [(0.0, f"{start:%H:%M}", "")]
    points += [(x, f"{limit:%H:%M}", "") for x, limit in zip(strokes, limits, strict=True)]
    return LegStrip(
        _boxes(legs, start, end),
        tuple(place(second, first, last) for second in _hours(first, last)),
        strokes,
        labels(points, ROOM),
        ready_at,
        bool(limits) and ready_at > limits[0],
    )


def _boxes(legs: Sequence[Leg], start: datetime, end: datetime) -> tuple[LegBox, ...]:
    whole = (end - start).total_seconds() / 60
    boxes = []
    gone = 0.0
    for leg in legs:
        x, right = place(gone, 0, whole), place(gone + leg.minutes, 0, whole)
        if right > x:
            boxes.append(LegBox(leg.kind, x, round(right - x, 2), right, leg.estimated))
        gone += leg.minutes
    return tuple(boxes)


def _hours(first: float, last: float) -> list[float]:
    return [first + 3600 * n for n in range(int((last - first) // 3600) + 1)]

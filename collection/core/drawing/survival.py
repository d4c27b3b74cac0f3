"""The share still alive, by hours: steps with their band, and the law drawn through them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isfinite

from collection.core.drawing.fan import nice_step
from collection.core.drawing.scale import Label, labels, place

LEFT = 12.0  # percent of the width kept for the figures of the upright axis
SHARES = (100, 75, 50, 25, 0)
ROOM = 13.0

Points = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class SurvivalPlot:
    """Paths in a box of 100 by 100; places of pulls and labels in percent of the whole width."""

    band: str
    steps: str
    law: str
    beyond: str
    pulls: tuple[float, ...]
    shares: tuple[tuple[float, str], ...]
    hours: tuple[Label, ...]


def survival_plot(
    *,
    steps: Points = (),
    band: Sequence[tuple[float, float, float]] = (),
    stepped: bool = True,
    law: Points = (),
    seen_until: float,
    pulls: Iterable[float] = (),
) -> SurvivalPlot:
    """Draw a curve of survival.

    Args:
        steps: (hours, share alive) at deaths; the curve falls there and is level between.
        band: (hours, lower, upper); what is not finite is left out.
        stepped: whether the band is level between its points like the steps.
        law: (hours, share alive) of a law, rising in hours; drawn dashed beyond `seen_until`.
        seen_until: the highest age in the log, hours.
        pulls: ages at which parts were taken out or are now, one mark each.

    Raises:
        ValueError: nothing to draw has any length in hours.
    """
    ends = [hours for hours, *_ in (*steps, *band, *law)] + [seen_until]
    most = max(ends)
    if not most > 0:
        raise ValueError("a curve of survival needs hours above zero")
    step = nice_step(max(1, round(most)))
    last = step * -(-most // step)
    known = [(h, lo, hi) for h, lo, hi in band if isfinite(lo) and isfinite(hi)]
    upper, lower = [(h, hi) for h, _, hi in known], [(h, lo) for h, lo, _ in known]
    if stepped:
        end = seen_until if known else 0.0
        upper, lower = _stairs(upper, end), _stairs(lower, end)
    return SurvivalPlot(
        _closed(upper, lower, last),
        _path(_stairs(steps, seen_until) if steps else (), last),
        _path([p for p in law if p[0] <= seen_until], last),
        _path([p for p in law if p[0] >= seen_until], last),
        tuple(_across(hours, last) for hours in sorted(pulls)),
        tuple((float(100 - share), f"{share} %") for share in SHARES),
        labels([(_across(h, last), f"{h:g}", "") for h in _ticks(step, last)], ROOM),
    )


def _ticks(step: int, last: float) -> list[int]:
    return list(range(0, int(last) + 1, step))


def _stairs(points: Points, until: float) -> list[tuple[float, float]]:
    """Corners of a curve that is 1 before its first point and level between points."""
    corners, level = [(0.0, 1.0)], 1.0
    for hours, share in points:
        corners += [(hours, level), (hours, share)]
        level = share
    return [*corners, (max(until, corners[-1][0]), level)]


def _path(points: Points, last: float) -> str:
    return "M" + "L".join(_spots(points, last)) if points else ""


def _closed(upper: Points, lower: Points, last: float) -> str:
    there = [*_spots(upper, last), *reversed(_spots(lower, last))]
    return "M" + "L".join(there) + "Z" if upper else ""


def _spots(points: Points, last: float) -> list[str]:
    return [f"{place(hours, 0, last)} {place(1 - share, 0, 1)}" for hours, share in points]


def _across(hours: float, last: float) -> float:
    return round(LEFT + (100 - LEFT) * place(hours, 0, last) / 100, 2)

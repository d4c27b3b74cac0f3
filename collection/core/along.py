"""Shops near the place of a theft and along the road ahead, the nearest first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from collection.core.distance import Site, kilometres

WITHIN_KM = 300  # house rule: a thief with a van sells within a day's drive


@dataclass(frozen=True)
class Point:
    """The place of the theft, or a show still to come; `said` as one says it."""

    said: str
    site: Site


@dataclass(frozen=True)
class Near:
    """A shop by its code, how far it lies from the nearest point, and which that is."""

    code: str
    km: float
    point: str


def nearest(
    shops: Mapping[str, Site], points: Sequence[Point], *, within_km: float = WITHIN_KM
) -> tuple[Near, ...]:
    """The shops within a geodesic distance of any point, nearest first; () without points.

    The distance is the shortest line over the ground, not the road.
    """
    found = [_of(code, site, points) for code, site in shops.items()] if points else []
    return tuple(sorted((n for n in found if n.km <= within_km), key=lambda n: (n.km, n.code)))


def _of(code: str, site: Site, points: Sequence[Point]) -> Near:
    km, place = min(((kilometres(site, point.site), n) for n, point in enumerate(points)))
    return Near(code, km, points[place].said)

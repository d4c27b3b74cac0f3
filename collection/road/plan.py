"""The rig plan of a tour with everything a page shows of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from collection.core.transit_rules import Rules
from collection.road.figures import rules_of
from collection.road.models import RigPosition, Show, Tour
from collection.road.needs import positions_of, show_for
from collection.road.overrides.queries import apply
from collection.road.rig import RigLine, rig_lines, tally, with_swapped, with_taken
from collection.road.sites import Atlas, atlas
from registry.access.models import Collection, Membership

_BY_ROW = ("piece", "backup")
_FIELDS = (
    "name piece backup stands outage_minutes fallback fallback_steps accepted emergency never "
    "traits songs strings_every checks"
).split()


@dataclass(frozen=True)
class RigPlan:
    """The lines of a plan, the show they were judged for, and what was read on the way."""

    lines: list[RigLine]
    show: Show | None
    atlas: Atlas
    rules: Rules

    @property
    def tally(self) -> list[tuple[str, str]]:
        """The marks counted, worst first."""
        return tally(self.lines)

    @property
    def next_number(self) -> int:
        """The number the next position gets."""
        return max((line.number for line in self.lines), default=0) + 1


def rig_of(
    collection: Collection,
    tour: Tour,
    *,
    now: datetime,
    member: Membership | None,
    show: Show | None = None,
) -> RigPlan:
    """The rig plan of a tour for one show, else the one on or next; ten queries at most."""
    places = atlas(collection, at=now, tour=tour)
    rules = rules_of(collection)
    show = show or show_for(places.shows.get(tour.pk, []), now=now, by=None)
    lines = rig_lines(apply(positions_of(tour), show), places, rules, show=show, member=member)
    lines = with_swapped(lines, show)
    zone = show.zone if show else collection.zone_info
    lines = with_taken(lines, collection, now=now, zone=zone)
    return RigPlan(lines, show, places, rules)


def position_as_form(tour: Tour, number: int) -> Mapping[str, Any]:
    """What the form of a position starts with; nothing for one that is not there yet."""
    rows = RigPosition.objects.filter(tour=tour, number=number)
    found = rows.select_related(*_BY_ROW).first()
    return {name: getattr(found, name) for name in _FIELDS} if found else {}

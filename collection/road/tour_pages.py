"""What pages of a tour and of a show say beside their rows: legs, mains, one night."""

from collections.abc import Iterable
from dataclasses import dataclass

from collection.core.mains_supply import Supply
from collection.road.figures import rules_of
from collection.road.mains.queries import misfits_at, supply_of
from collection.road.models import RigPosition, Show
from collection.road.needs import positions_of
from collection.road.overrides.queries import apply
from registry.access.models import Collection


@dataclass(frozen=True)
class Leg:
    """Shows in a row that belong together: by the name of the leg, else by country."""

    name: str
    shows: tuple[Show, ...]


@dataclass(frozen=True)
class Night:
    """A show's positions as they stand that night, its mains, and what does not fit them."""

    positions: tuple[RigPosition, ...]
    misfits: tuple[tuple[str, str], ...]
    supply: Supply | None  # what the country gives, None where nobody has said

    @property
    def differs(self) -> list[RigPosition]:
        """The positions that are otherwise than planned."""
        return [position for position in self.positions if position.tonight]


def legs(shows: Iterable[Show]) -> list[Leg]:
    """Shows in order, cut where the leg changes."""
    found: list[tuple[str, list[Show]]] = []
    for show in shows:
        name = show.leg or show.venue.country
        if not found or found[-1][0] != name:
            found.append((name, []))
        found[-1][1].append(show)
    return [Leg(name, tuple(several)) for name, several in found]


def night_of(collection: Collection, show: Show) -> Night:
    """One show's night; four queries whatever the size of the rig."""
    positions = apply(positions_of(show.tour), show)
    supply = supply_of(collection, show.venue.country) if show.venue.country else None
    return Night(tuple(positions), misfits_at(show, positions, rules_of(collection)), supply)

"""Where tours carry things, told by the road: custody itself knows no tour.

The road stands above custody and may not be imported here; so `collection/apps.py` hands in the
function that says where every place is at a moment.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from registry.access.models import Collection


@dataclass(frozen=True)
class Spot:
    """Where a place is: coordinates, the town they are called by, and the show it is with."""

    name: str
    country: str
    latitude: float
    longitude: float
    with_show: str = ""


@dataclass(frozen=True)
class Stop:
    """A show of the tour that is on, where and when."""

    number: int
    town: str
    latitude: float
    longitude: float
    on: date


@dataclass(frozen=True)
class Carried:
    """Places by key, each with its spot; and the stops of the tour that is on."""

    spots: Mapping[int, Spot] = field(default_factory=dict)
    tour: str = ""
    stops: tuple[Stop, ...] = ()


Told = Callable[[Collection, datetime], Carried]
_sources: list[Told] = []


def told_by(source: Told) -> None:
    """Name what tells where tours are; the newest word stands."""
    _sources[:] = [source]


def carried(collection: Collection, at: datetime) -> Carried:
    """Where everything is at a moment; nothing where nobody tells."""
    return _sources[0](collection, at) if _sources else Carried()

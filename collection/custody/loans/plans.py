"""Shows that a piece is planned for, told by whoever plans them: custody itself knows no tour.

The road stands above custody and may not be imported here; `collection/apps.py` hands in the
function that reads the rig plans, as it does for the stock.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.access.models import Collection


@dataclass(frozen=True)
class Needed:
    """A piece on a rig plan, the show it is needed for first, and as what."""

    piece: str
    show: str
    on: date
    as_what: str


Told = Callable[[Collection, Iterable[str], date, date], Sequence[Needed]]
_sources: list[Told] = []


def told_by(source: Told) -> None:
    """Name what tells of rig plans; the newest word stands."""
    _sources[:] = [source]


def needed(
    collection: Collection, pieces: Iterable[str], *, begins: date, ends: date
) -> tuple[Needed, ...]:
    """Pieces that a rig plan names for shows within the period, the first show of each."""
    codes = list(pieces)
    found = [one for source in _sources for one in source(collection, codes, begins, ends)]
    return tuple(sorted(found, key=lambda one: (one.on, one.piece)))

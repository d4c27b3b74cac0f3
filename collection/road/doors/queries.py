"""Reading counts at the truck door and walks of the stage."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from collection.core.load_out import WALK, Tally, tally
from collection.ledger.models import State
from collection.road.doors.models import DoorCount, DoorTap, WalkList, WalkTick
from collection.road.models import Show
from registry.access.models import Collection, ShareLink
from registry.access.queries import member_names
from registry.access.sharing import shares_of


@dataclass(frozen=True)
class Counted:
    """A tile as everybody at the door sees it."""

    code: str
    name: str
    at: datetime | None = None
    by: str = ""
    said_missing: bool = False


@dataclass(frozen=True)
class Board:
    """A count with its tiles and where it stands."""

    count: DoorCount
    tiles: tuple[Counted, ...]
    tally: Tally

    @property
    def missing(self) -> list[Counted]:
        """Tiles that nobody has counted."""
        return [tile for tile in self.tiles if tile.at is None]


@dataclass(frozen=True)
class Spot:
    """A place to look at before leaving, and whether somebody did."""

    words: str
    at: datetime | None = None
    by: str = ""


def counts(collection: Collection) -> QuerySet[DoorCount]:
    """Counts with their shows, the newest first."""
    return DoorCount.objects.of(collection).select_related(
        "collection", "show__venue", "show__tour", "truck"
    )


def board(count: DoorCount, *, named: bool = True) -> Board:
    """A count as it stands now; two queries, one where nobody is named."""
    names = member_names(count.collection) if named else {}
    taps = {tap.code: tap for tap in standing(count)}
    tiles = tuple(_tile(row, taps.get(row["code"]), names, count) for row in count.tiles)
    pairs = [(row["code"], row["name"]) for row in count.tiles]
    return Board(count, tiles, tally(pairs, frozenset(taps)))


def _tile(
    row: dict[str, str], tap: DoorTap | None, names: dict[str, str], count: DoorCount
) -> Counted:
    missed = row["code"] in count.missed
    if tap is None:
        return Counted(row["code"], row["name"], said_missing=missed)
    return Counted(row["code"], row["name"], tap.at, names.get(tap.by, tap.by if names else ""))


def found_since(count: DoorCount, missing: list[Counted]) -> list[tuple[Counted, datetime | None]]:
    """What was not counted, with when somebody saw it after the count was closed; one query."""
    seen = State.objects.of(count.collection).filter(
        subject__code__in=[tile.code for tile in missing], seen_at__gt=count.closed_at
    )
    at = dict(seen.values_list("subject__code", "seen_at"))
    return [(tile, at.get(tile.code)) for tile in missing]


def standing(count: DoorCount) -> QuerySet[DoorTap]:
    """Taps that count: what was undone stays in the table and counts no more."""
    return DoorTap.objects.filter(count=count, undone_at=None)


def links_of(count: DoorCount) -> QuerySet[ShareLink]:
    """Links to a count, the newest first."""
    return shares_of(count.collection, purpose=ShareLink.Purpose.DOORS, code=count.code)


def count_of(link: ShareLink) -> DoorCount | None:
    """The count that a link opens."""
    show, _, number = link.code.rpartition("/")
    found = counts(link.collection).filter(show__code=show)
    return found.filter(number=int(number)).first() if number.isdigit() else None


def spots(collection: Collection) -> list[str]:
    """Where this collection looks before it leaves."""
    own = WalkList.objects.of(collection).first()
    return list(own.spots) if own else list(WALK)


def walked(show: Show) -> list[Spot]:
    """The walk of one show: its places, with who looked; three queries."""
    ticks = {tick.spot: tick for tick in WalkTick.objects.filter(show=show)}
    names = member_names(show.collection)
    listed = [*spots(show.collection), *ticks]
    return [_spot(words, ticks.get(words), names) for words in dict.fromkeys(listed)]


def _spot(words: str, tick: WalkTick | None, names: dict[str, str]) -> Spot:
    return Spot(words, tick.at, names.get(tick.by, tick.by)) if tick else Spot(words)

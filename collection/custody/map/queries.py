"""Reading the map: pieces heaped by town, the tour's way, and the towns that draw the land."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo

from collection.core.drawing import chart
from collection.core.events.kind import GONE
from collection.custody.carried import Carried, Spot, carried
from collection.custody.models import Place, Town
from collection.custody.whereabouts import Whereabouts
from collection.ledger.models import State
from registry.access.models import Collection

DOTS = 8_000  # towns drawn at most: about 30 kB of page
READ = 120_000  # towns read at most, the largest first
TOUR, ALL = "tour", "all"


@dataclass
class Here:
    """A town with what is there, for mark and table alike."""

    spot: Spot
    zone: ZoneInfo  # in which days are said
    count: int = 0
    last_seen: datetime | None = None
    longest_unseen: datetime | None = None
    unseen: int = 0
    places: dict[str, int] = field(default_factory=dict)
    mark: int | None = None
    under: str = ""  # the town whose mark stands for this one too
    fade_words: str = ""

    def add(self, state: State, place: str) -> None:
        """One more piece."""
        self.count += 1
        self.places[place] = self.places.get(place, 0) + 1
        if state.seen_at is None:
            self.unseen += 1
            return
        at = state.seen_at.astimezone(self.zone)
        self.last_seen = max(filter(None, (self.last_seen, at)))
        self.longest_unseen = min(filter(None, (self.longest_unseen, at)))


@dataclass(frozen=True)
class Map:
    """Everything the page draws and says."""

    zoom: str
    here: tuple[Here, ...]
    marks: tuple[chart.Mark, ...]
    land: str
    done: str
    to_come: str
    stops: tuple[tuple[float, float, int], ...]
    carried: Carried
    on_the_way: int
    no_town: int  # pieces whose place has no town
    nowhere: int  # pieces of which nobody has said where they are

    @property
    def outside(self) -> int:
        """How many towns of the table lie beyond the edge."""
        return sum(1 for one in self.here if one.mark is None)


def map_of(collection: Collection, known: Whereabouts, *, now: datetime, zoom: str = "") -> Map:
    """The map as this member may see it; six queries whatever the size."""
    found, today = carried(collection, now), now.astimezone(collection.zone_info).date()
    here, apart = _heaped(collection, known, found)
    zoom = _zoom(zoom, found)
    heaps = [_heap(one, now) for one in here]
    shown = [(stop.latitude, stop.longitude) for stop in found.stops] if zoom == TOUR else []
    shown = shown or [(one.latitude, one.longitude) for one in heaps]
    window = chart.window(shown) if shown else None
    drawn = chart.marks(window, heaps) if window else ()
    for one, heap in zip(here, heaps, strict=True):
        one.fade_words = chart.fade_words(heap.fade)
    for number, mark in enumerate(drawn, 1):
        for heap in mark.heaps:
            here[heap].mark = number
            here[heap].under = here[mark.heaps[0]].spot.name if heap != mark.heaps[0] else ""
    return Map(
        zoom=zoom,
        here=tuple(here),
        marks=drawn,
        carried=found,
        on_the_way=apart["on the way"],
        no_town=apart["no town"],
        nowhere=apart["nowhere"],
        land=land(window) if window else "",
        **_way(window, found, today),
    )


def _zoom(asked: str, found: Carried) -> str:
    return ALL if asked == ALL or not found.stops else TOUR


def _heaped(
    collection: Collection, known: Whereabouts, found: Carried
) -> tuple[list[Here], Counter[str]]:
    """Towns with what is there, the fullest first; and how many pieces are in none, by why."""
    heaps: dict[tuple[str, str], Here] = {}
    apart: Counter[str] = Counter()
    for state in _states(collection):
        if state.place_id is None or state.place_id not in known.rows:
            apart["nowhere"] += 1
        elif known.hidden(state.place_id):
            continue
        elif spot := found.spots.get(state.place_id):
            here = heaps.setdefault((spot.name, spot.country), Here(spot, collection.zone_info))
            here.add(state, known.chain(state.place_id)[0].name)
        else:
            away = known.chain(state.place_id)[0].kind == Place.Kind.ON_THE_WAY
            apart["on the way" if away else "no town"] += 1
    order = sorted(heaps.values(), key=lambda one: (-one.count, one.spot.name))
    return order, apart


def _states(collection: Collection) -> Iterable[State]:
    rows = State.objects.of(collection).filter(subject__kind="piece").exclude(standing__in=GONE)
    return rows.only("place_id", "seen_at", "standing")


def _heap(one: Here, now: datetime) -> chart.Heap:
    step = chart.fade(one.last_seen, now)
    return chart.Heap(one.spot.latitude, one.spot.longitude, one.spot.name, one.count, step)


def _way(window: chart.Window | None, found: Carried, today: date) -> dict[str, object]:
    """The tour's way, done and to come; the leg from today's show is still to come."""
    if window is None:
        return {"done": "", "to_come": "", "stops": ()}
    at = [(stop.latitude, stop.longitude) for stop in found.stops]
    played = sum(1 for stop in found.stops if stop.on <= today)
    dots = ((*window.at(*point), stop.number) for point, stop in zip(at, found.stops, strict=True))
    return {
        "done": chart.route(window, at[:played]),
        "to_come": chart.route(window, at[max(played - 1, 0) :]),
        "stops": tuple(dots),
    }


@lru_cache(maxsize=32)
def _land(window: chart.Window) -> str:
    west, south, east, north = window.degrees()
    towns = Town.objects.filter(
        latitude__range=(south, north), longitude__range=(west, east)
    ).order_by("-population")
    return chart.dots(window, towns.values_list("latitude", "longitude")[:READ], most=DOTS)


def land(window: chart.Window) -> str:
    """The towns in a window as one path, the largest first; kept once it was drawn."""
    drawn = _land(window)
    if not drawn:
        # An empty gazetteer may be filled while the site runs; a drawn one stays as it is.
        _land.cache_clear()
    return drawn

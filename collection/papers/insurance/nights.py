"""Nights of trucks: against the terms, on a tour, and by whose clock."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from collection.core import insurance
from collection.custody.models import Place
from collection.papers.insurance.models import Policy, TruckNight
from collection.road.models import Show, Tour
from registry.access.models import Collection


@dataclass(frozen=True)
class NightLine:
    """A night of a truck with each policy's terms held against it."""

    night: TruckNight
    against: tuple[tuple[Policy, insurance.Night], ...]

    @property
    def came(self) -> datetime:
        """When it came, by the clock on the wall there."""
        return self.night.since.astimezone(ZoneInfo(self.night.zone))

    @property
    def left(self) -> datetime | None:
        """When it left, by that clock; None while it stands there."""
        return self.night.until and self.night.until.astimezone(ZoneInfo(self.night.zone))

    @property
    def hours(self) -> str:
        """'23:40 to 08:00', '23:40, still there'."""
        came = f"{self.came:%H:%M}"
        return f"{came} to {self.left:%H:%M}" if self.left else f"{came}, still there"

    @property
    def broken(self) -> list[str]:
        """Terms that were broken, in words, each once."""
        return _words(one.broken for _, one in self.against)

    @property
    def unsaid(self) -> list[str]:
        """Terms nobody wrote down, in words, each once."""
        return _words(one.unsaid for _, one in self.against)


def _words(several: Iterable[tuple[str, ...]]) -> list[str]:
    keys = {key for some in several for key in some}
    return [words for key, words in insurance.TERMS.items() if key in keys]


def nights(
    collection: Collection, policies: Iterable[Policy], *, limit: int = 60
) -> list[NightLine]:
    """Overnight stops, the newest first, against the policies of their day; 2 queries."""
    rows = TruckNight.objects.of(collection).select_related("truck")[:limit]
    every = list(policies)
    return [NightLine(row, _against(row, every)) for row in rows]


def _against(row: TruckNight, every: list[Policy]) -> tuple[tuple[Policy, insurance.Night], ...]:
    on = row.since.astimezone(ZoneInfo(row.zone)).date()
    running = [p for p in every if p.begins_on <= on <= p.ends_on and p.terms]
    return tuple((policy, insurance.night(policy.terms, row.said)) for policy in running)


@dataclass(frozen=True)
class TruckGap:
    """Nights of a tour on which nobody wrote down where a truck stood."""

    truck: Place
    nights: tuple[date, ...]


def gaps(tour: Tour, *, today: date) -> list[TruckGap]:
    """Nights without a word, truck by truck, up to last night; 2 queries."""
    trucks = [place for place in tour.places.all() if place.kind == Place.Kind.TRUCK]
    stays: dict[int, list[tuple[date, date | None]]] = defaultdict(list)
    for row in TruckNight.objects.filter(truck__in=trucks):
        zone = ZoneInfo(row.zone)
        left = row.until.astimezone(zone).date() if row.until else None
        stays[row.truck_id].append((row.since.astimezone(zone).date(), left))
    until = min(today, tour.ends_on)
    return [
        TruckGap(truck, insurance.nights_unsaid(tour.starts_on, until, stays[truck.pk]))
        for truck in trucks
    ]


def trucks(collection: Collection) -> list[Place]:
    """Trucks of a collection."""
    return list(Place.objects.of(collection).filter(kind=Place.Kind.TRUCK).order_by("name"))


def zone_at(collection: Collection, now: datetime) -> str:
    """The zone of the last show that has begun on a tour that is on, else the collection's."""
    today = now.astimezone(collection.zone_info).date()
    shows = Show.objects.of(collection).filter(
        on__lte=today, tour__starts_on__lte=today, tour__ends_on__gte=today
    )
    last = shows.select_related("venue").order_by("-on", "-number").first()
    return last.venue.zone if last and last.venue.zone else collection.zone

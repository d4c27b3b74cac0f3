"""Where things are at a moment: places with coordinates, and tours that carry their cases."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from django.db.models import Q

from collection.core.distance import Site
from collection.custody.freight.models import Shipment
from collection.custody.freight.queries import under_way
from collection.custody.models import Place
from collection.road.models import Show, Tour
from registry.access.models import Collection


@dataclass(frozen=True)
class Whereabouts:
    """Where a place is: a site, or the sentence why nobody can say."""

    site: Site | None
    said: str = ""
    private: bool = False
    tour_id: int | None = None
    in_truck: bool = False
    leaves_after_minutes: int = 0
    coming: Shipment | None = None  # it is on the way there, and nowhere yet


@dataclass
class Atlas:
    """The places of a collection and where its running tours are; read once, then asked."""

    collection: Collection
    at: datetime
    places: dict[int, Place]
    tour_of: dict[int, Tour]
    shows: dict[int, list[Show]]
    coming: dict[int, Shipment] = field(default_factory=dict)
    _sites: dict[int, Site | None] = field(default_factory=dict)
    _found: dict[int, Whereabouts] = field(default_factory=dict)

    @property
    def today(self) -> date:
        """The day of the moment in the collection's zone."""
        return self.at.astimezone(self.collection.zone_info).date()

    def find(self, place_id: int | None) -> Whereabouts:
        """Where a place is at the moment; a truck or case is where its tour is."""
        if place_id not in self.places:
            return Whereabouts(None, "Nobody has said where it is.")
        if place_id not in self._found:
            self._found[place_id] = self._find(self.places[place_id])
        return self._found[place_id]

    def _find(self, place: Place) -> Whereabouts:
        chain = list(self._outward(place))
        if chain[-1].kind == Place.Kind.ON_THE_WAY:
            return self._on_the_way(chain)
        private = any(one.private for one in chain)
        in_truck = any(one.kind == Place.Kind.TRUCK for one in chain)
        tour = next((self.tour_of[one.pk] for one in chain if one.pk in self.tour_of), None)
        show = self.show_now(tour) if tour else None
        here = show.venue if show else next((p for p in chain if p.latitude is not None), None)
        site = self.site(here) if here else None
        return Whereabouts(
            site=site,
            said="" if site else f"No town is known for its place, {place.name}.",
            private=private,
            tour_id=tour.pk if show else None,
            in_truck=in_truck,
            leaves_after_minutes=0 if show else place.opens_minutes,
        )

    def _on_the_way(self, chain: list[Place]) -> Whereabouts:
        """Where it will be: a shipment, and whatever travels in its cases."""
        shipment, private = self.coming.get(chain[-1].pk), any(one.private for one in chain)
        if shipment is None:
            return Whereabouts(None, f"It was on the way, {chain[-1].code}; look for it.", private)
        there = self.find(shipment.to_id)
        return replace(there, private=private or there.private, coming=shipment, in_truck=False)

    def _outward(self, place: Place | None) -> Iterator[Place]:
        seen: set[int] = set()
        while place is not None and place.pk not in seen:
            seen.add(place.pk)
            yield place
            place = self.places.get(place.inside_id)

    def show_now(self, tour: Tour) -> Show | None:
        """Where a tour is: today's show, else the last one before; none before the first."""
        begun = [show for show in self.shows.get(tour.pk, []) if show.on <= self.today]
        return begun[-1] if begun else None

    def site(self, place: Place) -> Site | None:
        """The site of a place or of the nearest one around it with coordinates."""
        place = self.places.get(place.pk, place)
        if place.pk not in self._sites:
            self._sites[place.pk] = self._site(place)
        return self._sites[place.pk]

    def _site(self, place: Place) -> Site | None:
        chain = list(self._outward(place))
        located = next((one for one in chain if one.latitude is not None), None)
        country = next((one.country for one in chain if one.country), "")
        if located is None or not country:
            return None
        zone = next((one.zone for one in chain if one.zone), self.collection.zone)
        return Site(
            name=located.town or located.name,
            latitude=located.latitude,
            longitude=located.longitude,
            country=country.upper(),
            time_zone=zone,
        )

    def stands_in(self, place_id: int | None, outer: Place) -> bool:
        """Whether a place is another one or lies inside it."""
        start = self.places.get(place_id)
        return any(one.pk == outer.pk for one in self._outward(start))


def atlas(
    collection: Collection,
    *,
    at: datetime,
    until: datetime | None = None,
    tour: Tour | None = None,
) -> Atlas:
    """The atlas of a collection at a moment; five queries whatever the size.

    With `until` it also knows the shows of tours that begin before then, and always `tour`'s.
    """
    today = at.astimezone(collection.zone_info).date()
    last = max(today, until.astimezone(collection.zone_info).date()) if until else today
    places = {place.pk: place for place in Place.objects.of(collection)}
    running = Tour.objects.of(collection).filter(
        Q(starts_on__lte=last, ends_on__gte=today) | Q(pk=tour.pk if tour else None)
    )
    tours = list(running.prefetch_related("places"))
    by_pk = {tour.pk: tour for tour in tours}
    shows: dict[int, list[Show]] = {tour.pk: [] for tour in tours}
    for show in Show.objects.of(collection).filter(tour__in=tours).select_related("venue"):
        show.collection, show.tour = collection, by_pk[show.tour_id]
        shows[show.tour_id].append(show)
    tour_of = {place.pk: tour for tour in tours for place in tour.places.all()}
    coming = {shipment.pk: shipment for shipment in under_way(collection)}
    return Atlas(collection, at, places, tour_of, shows, coming)

"""From an incident to what its tasks hang on: hour, border, policy, shops along the road."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from collection.core.along import WITHIN_KM, Near, Point, nearest
from collection.core.chronology import exact_instant
from collection.core.distance import Site
from collection.core.theft_tasks import CAMERA_HOURS, Scene, Told
from collection.custody.incident import zone_of
from collection.custody.models import Incident, Place
from collection.papers.theft.models import Shop
from collection.road.models import Show
from collection.road.sites import atlas


@dataclass(frozen=True)
class Asked:
    """What a person puts in before the tasks are listed."""

    camera_hours: int = CAMERA_HOURS
    notify_by: datetime | None = None
    notify_because: str = ""
    abroad: bool = False
    carnet: bool = False
    within_km: int = WITHIN_KM


def found_gone_at(incident: Incident) -> datetime:
    """When it was seen gone, to the minute if that is known; else when it was written down."""
    exact = exact_instant(incident.found_gone, zone_of(incident)) if incident.found_gone else None
    return exact or incident.opened_at


def scene_of(incident: Incident, asked: Asked) -> Scene:
    """The scene with its shops in order of distance."""
    rows = {shop.party.code: shop for shop in shops(incident)}
    found = near(incident, rows, within_km=asked.within_km)
    return Scene(
        found_gone=found_gone_at(incident),
        camera_hours=asked.camera_hours,
        notify_by=asked.notify_by,
        notify_because=asked.notify_because,
        abroad=asked.abroad,
        carnet=asked.carnet,
        shops=tuple(_told(rows[one.code], one) for one in found),
    )


def shops(incident: Incident) -> list[Shop]:
    """Every dealer, auction house and pawnshop kept; 1 query."""
    return list(Shop.objects.of(incident.collection).select_related("party"))


def near(incident: Incident, rows: Mapping[str, Shop], *, within_km: int) -> tuple[Near, ...]:
    """The shops near the place and near each show still to come, nearest first."""
    sites = {code: _site(shop) for code, shop in rows.items()}
    return nearest(sites, points(incident), within_km=within_km)


def points(incident: Incident) -> list[Point]:
    """The place of the theft, then every show of the tour from that day on."""
    at = found_gone_at(incident)
    known = atlas(incident.collection, at=at)
    place = known.places.get(incident.place_id)
    here = known.site(place) if place else None
    found = [Point("the place", here)] if here else []
    for show in coming(incident, at.astimezone(zone_of(incident)).date()):
        if site := known.site(show.venue):
            found.append(Point(f"show {show.number} in {site.name}, {show.on:%-d %b}", site))
    return found


def coming(incident: Incident, day: date) -> list[Show]:
    """Shows from a day on of the tours that run on it; 1 query."""
    shows = Show.objects.of(incident.collection).filter(
        on__gte=day, tour__starts_on__lte=day, tour__ends_on__gte=day
    )
    return list(shows.select_related("venue", "tour").order_by("on"))


def guessed(incident: Incident) -> Asked:
    """What the register can guess: abroad by the country most sites lie in, carnet by the tour."""
    sites = Place.objects.of(incident.collection).filter(kind=Place.Kind.SITE).exclude(country="")
    homes = Counter(sites.values_list("country", flat=True)).most_common(1)
    country = country_of(incident)
    day = found_gone_at(incident).astimezone(zone_of(incident)).date()
    abroad = bool(homes and country and country != homes[0][0])
    carnet = abroad and any(show.tour.carnet for show in coming(incident, day))
    return Asked(abroad=abroad, carnet=carnet)


def country_of(incident: Incident) -> str:
    """Country of the place of the theft, or of what it stands inside; '' unknown."""
    place = Place.objects.of(incident.collection).filter(subject=incident.place).first()
    while place and not place.country:
        place = place.inside
    return place.country.upper() if place else ""


def _site(shop: Shop) -> Site:
    return Site(
        name=shop.town, latitude=shop.latitude, longitude=shop.longitude,
        country=shop.country.upper(), time_zone="UTC",
    )  # fmt: skip


def _told(shop: Shop, one: Near) -> Told:
    lies = f"{shop.town}, {one.km:.0f} km from {one.point}"
    return Told(shop.party.code, shop.party.name, shop.get_kind_display(), lies)

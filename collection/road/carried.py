"""Where every place is at a moment, as custody asks for it: a truck is where its tour is."""

from datetime import datetime, timedelta

from collection.custody.carried import Carried, Spot, Stop
from collection.road.models import Show, Tour
from collection.road.sites import Atlas, Whereabouts, atlas
from registry.access.models import Collection


def carried_at(collection: Collection, at: datetime) -> Carried:
    """Spots of all places and the stops of the tour that is on; four queries."""
    now = atlas(collection, at=at)
    found = {pk: now.find(pk) for pk in now.places}
    spots = {pk: _spot(now, one) for pk, one in found.items() if one.site and not one.coming}
    running = [tour for tour in _tours(now) if tour.starts_on <= now.today <= tour.ends_on]
    tour = max(running, key=lambda one: (one.starts_on, one.pk), default=None)
    return Carried(spots, tour.name if tour else "", _stops(now, tour) if tour else ())


def venue_at(collection: Collection, at: datetime) -> str:
    """The code of the venue of the show that is on this day by the venue's clock; 1 query."""
    near = (at.date() - timedelta(days=1), at.date() + timedelta(days=1))
    shows = Show.objects.of(collection).filter(on__range=near).select_related("venue", "collection")
    return next(
        (show.venue.code for show in shows if at.astimezone(show.zone).date() == show.on), ""
    )


def _tours(now: Atlas) -> list[Tour]:
    """Tours that have places or shows, each once."""
    shows = [show for several in now.shows.values() for show in several]
    named = [*now.tour_of.values(), *(show.tour for show in shows)]
    return list({tour.pk: tour for tour in named}.values())


def _spot(now: Atlas, found: Whereabouts) -> Spot:
    site, said = found.site, ""
    if found.tour_id is not None:
        tour = next(one for one in now.tour_of.values() if one.pk == found.tour_id)
        show = now.show_now(tour)
        said = f"{tour.name}, show {show.number}" if show else ""
    return Spot(site.name, site.country, site.latitude, site.longitude, said)


def _stops(now: Atlas, tour: Tour) -> tuple[Stop, ...]:
    sited = [(show, now.site(show.venue)) for show in now.shows.get(tour.pk, [])]
    return tuple(
        Stop(show.number, site.name, site.latitude, site.longitude, show.on)
        for show, site in sited
        if site
    )

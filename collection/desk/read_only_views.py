"""Pages for those who read and type nothing: the artist, production."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from collection.desk.for_artist import artist_night
from collection.desk.for_production import production as production_of
from collection.road import queries as road
from registry import clock


@never_cache
@require_safe
def artist(request: HttpRequest) -> HttpResponse:
    """Tonight by song, what changed since last night."""
    seen = artist_night(request.collection, now=clock.now())
    return render(request, "desk/artist.html", {"night": seen})


@require_safe
def production(request: HttpRequest, tour: str) -> HttpResponse:
    """Weights, sizes, mains, connectors, truck pack, money asked."""
    found = get_object_or_404(road.tour(request.collection), code=tour)
    seen = production_of(request.collection, found)
    return render(request, "desk/production.html", {"tour": found, "seen": seen})

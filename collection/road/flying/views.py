"""The pack of a fly date, to print and to send to the host."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from collection.core.air_limits import AIR_AS_OF, LIMITS
from collection.road import queries as road
from collection.road.figures import rules_of
from collection.road.flying import queries


@require_safe
def flying(request: HttpRequest, show: str) -> HttpResponse:
    """What travels, what the host is asked for, and what airlines take."""
    found = get_object_or_404(road.shows(request.collection), code=show)
    pack = queries.pack(request.collection, found)
    seen = {"show": found, "pack": pack, "limits": LIMITS, "as_of": AIR_AS_OF}
    seen["misfits"] = queries.mains_of(pack, found, rules_of(request.collection))
    return render(request, "road/flying/pack.html", seen)

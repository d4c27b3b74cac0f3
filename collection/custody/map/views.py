"""The page of the map."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from collection.custody.map.queries import map_of
from collection.custody.whereabouts import whereabouts
from registry import clock


@require_safe
def everything(request: HttpRequest) -> HttpResponse:
    """Everything on one map, and the same as a table."""
    known = whereabouts(request.membership)
    zoom = request.GET.get("zoom", "")
    drawn = map_of(request.collection, known, now=clock.now(), zoom=zoom)
    context = {"map": drawn, "some_hidden": not known.sees_private}
    return render(request, "custody/map/map.html", context)

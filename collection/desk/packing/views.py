"""The packing list as a page that prints."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from collection.desk.packing import queries
from collection.road import queries as road
from registry import clock


@require_safe
def packing(request: HttpRequest, tour: str) -> HttpResponse:
    """Cases with contents, sizes and mass; `?truck=` for one truck in the order of loading."""
    found = get_object_or_404(road.tour(request.collection), code=tour)
    truck = request.GET.get("truck", "")
    seen = queries.packing(found, request.membership, truck=truck)
    today = clock.today(request.collection.zone_info)
    return render(request, "desk/packing/packing.html", {"seen": seen, "today": today})

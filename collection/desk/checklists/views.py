"""The lists of a tour: a page, and a tick."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from collection.desk.checklists import actions, queries
from collection.road import queries as road
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def checklist(request: HttpRequest, tour: str, which: str) -> HttpResponse:
    """What is to be done before or after a tour; a press ticks a line or takes the tick off."""
    if which not in queries.LISTS:
        raise Http404("There is no list of that name.")
    found = get_object_or_404(road.tour(request.collection), code=tour)
    today = clock.today(request.collection.zone_info)
    seen = queries.checklist(found, which, today=today)
    if request.method != "POST":
        return render(request, "desk/checklists/checklist.html", {"seen": seen, "today": today})
    line = request.POST.get("line", "")
    if "undo" in request.POST:
        actions.untick(tour=found, line=line)
    elif seen.has(line):
        actions.tick(tour=found, line=line, by=request.membership, now=clock.now())
    return redirect(reverse("desk:checklist", args=[request.collection.slug, tour, which]))

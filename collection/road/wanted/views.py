"""The wanted list."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST

from collection.road import queries as road
from collection.road.wanted import actions, queries
from collection.road.wanted.forms import CloseForm, WantForm
from registry import clock


def wanted(request: HttpRequest) -> HttpResponse:
    """What is being looked for and why; add a line."""
    form = WantForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        today = clock.today(request.collection.zone_info)
        told = {"collection": request.collection, "by": request.membership, "since": today}
        tour = road.tours(request.collection).filter(code=request.POST.get("tour", "")).first()
        made = actions.want(**told, tour=tour, **form.cleaned_data)
        messages.success(request, f"{made.code} is on the wanted list: {made.what}.")
        if tour is not None:
            return redirect("road:cover", request.collection.slug, tour.code)
        return redirect("road:wanted", request.collection.slug)
    seen = {"form": form, "rows": queries.wanted(request.collection), "closing": CloseForm()}
    return render(request, "road/wanted/wanted.html", seen, status=422 if form.errors else 200)


@require_POST
def close(request: HttpRequest, item: str) -> HttpResponse:
    """Say what closed a line."""
    found = get_object_or_404(queries.wanted(request.collection), code=item)
    form = CloseForm(request.POST)
    if form.is_valid():
        today = clock.today(request.collection.zone_info)
        actions.close(wanted=found, on=today, **form.cleaned_data)
    else:
        messages.error(request, f"{found.code}: say what closed it.")
    return redirect("road:wanted", request.collection.slug)

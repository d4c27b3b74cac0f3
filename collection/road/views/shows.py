"""A show: its day sheet, and logging what was played."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from collection.road import actions, day_sheet, logged, queries, tour_pages
from collection.road.forms import LogShowForm, ShowForm
from collection.road.models import DAY_SHEET


@require_safe
def show(request: HttpRequest, show: str) -> HttpResponse:
    """A show with its day sheet and what became of it."""
    found = get_object_or_404(queries.shows(request.collection), code=show)
    seen = {"show": found, "times": day_sheet.moments(found), **logged.of_show(found)}
    seen["night"] = tour_pages.night_of(request.collection, found)
    return render(request, "road/show.html", seen)


def change_show(request: HttpRequest, show: str) -> HttpResponse:
    """Change a day sheet."""
    found = get_object_or_404(queries.shows(request.collection), code=show)
    names = ("number", "venue", "on", *DAY_SHEET, "leg", "fly_date", "mains_volts", "mains_hz")
    others = set(found.tour.shows.values_list("number", flat=True)) - {found.number}
    form = ShowForm(
        request.POST or None,
        collection=request.collection,
        taken=others,
        initial={name: getattr(found, name) for name in names},
    )
    if request.method == "POST" and form.is_valid():
        actions.change_day_sheet(show=found, **form.cleaned_data)
        return redirect("road:show", request.collection.slug, found.code)
    return render(request, "road/form.html", {"form": form, "title": f"Show {found.number}"})


def log_show(request: HttpRequest, show: str) -> HttpResponse:
    """Log a show: filled in from day sheet and rig plan, one tap for each exception."""
    found = get_object_or_404(queries.shows(request.collection), code=show)
    start = logged.proposal(found)
    form = LogShowForm(
        request.POST or None,
        collection=request.collection,
        member=request.membership,
        start=start,
    )
    if request.method == "POST" and form.is_valid():
        told = {"collection": request.collection, "by": request.membership, "show": found}
        actions.log_show(**told, **form.logged(), telling=form.telling())
        messages.success(request, f"Show {found.number} is in the book.")
        return redirect("road:show", request.collection.slug, found.code)
    return render(request, "road/log_show.html", {"form": form, "show": found, "start": start})

"""Tours: the list, one tour with its shows and what travels, and changing them."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.ledger.errors import LedgerError
from collection.road import actions, queries, tour_pages
from collection.road.carnet.queries import set_aside_for
from collection.road.forms import ShowForm, TourForm, TravelForm
from collection.road.mains.queries import prefilled
from registry import clock


@require_safe
def tours(request: HttpRequest) -> HttpResponse:
    """Every tour, the newest first."""
    return render(request, "road/tours.html", {"tours": queries.tours(request.collection)})


@require_safe
def tour(request: HttpRequest, tour: str) -> HttpResponse:
    """One tour: its shows, its trucks and cases, and what travels."""
    found = get_object_or_404(queries.tour(request.collection), code=tour)
    seen = {
        "tour": found,
        "legs": tour_pages.legs(found.shows.all()),
        "shows": found.shows.all(),
        "travelling": queries.travelling(found),
        "set_aside": set_aside_for(found),
        "today": clock.today(request.collection.zone_info),
        "form": TravelForm(collection=request.collection),
    }
    return render(request, "road/tour.html", seen)


def add_tour(request: HttpRequest) -> HttpResponse:
    """Add a tour."""
    form = TourForm(request.POST or None, collection=request.collection)
    if request.method == "POST" and form.is_valid():
        made = actions.add_tour(
            collection=request.collection, by=request.membership, **form.cleaned_data
        )
        return redirect("road:tour", request.collection.slug, made.code)
    return render(request, "road/form.html", {"form": form, "title": "A tour"})


def change_tour(request: HttpRequest, tour: str) -> HttpResponse:
    """Change a tour."""
    found = get_object_or_404(queries.tour(request.collection), code=tour)
    before = {n: getattr(found, n) for n in ("name", "starts_on", "ends_on", "carnet")}
    before["places"] = [place.code for place in found.places.all()]
    form = TourForm(request.POST or None, collection=request.collection, initial=before)
    if request.method == "POST" and form.is_valid():
        actions.change_tour(tour=found, **form.cleaned_data)
        return redirect("road:tour", request.collection.slug, found.code)
    return render(request, "road/form.html", {"form": form, "title": found.name})


def add_show(request: HttpRequest, tour: str) -> HttpResponse:
    """Add a show to a tour."""
    found = get_object_or_404(queries.tour(request.collection), code=tour)
    numbers = [show.number for show in found.shows.all()]
    start = {"number": max(numbers, default=0) + 1}
    form = ShowForm(
        request.POST or None, collection=request.collection, taken=numbers, initial=start
    )
    if request.method == "POST" and form.is_valid():
        told = {"collection": request.collection, "by": request.membership, "tour": found}
        made = actions.add_show(**told, **prefilled(request.collection, **form.cleaned_data))
        return redirect("road:show", request.collection.slug, made.code)
    return render(request, "road/form.html", {"form": form, "title": "A show"})


@require_POST
def travel(request: HttpRequest, tour: str) -> HttpResponse:
    """A piece goes along, on the carnet or not."""
    found = get_object_or_404(queries.tour(request.collection), code=tour)
    form = TravelForm(request.POST, collection=request.collection)
    if form.is_valid():
        try:
            actions.travel(tour=found, **form.cleaned_data)
        except LedgerError as refused:
            messages.error(request, str(refused))
    else:
        messages.error(request, "Choose a piece that is in the register.")
    return redirect("road:tour", request.collection.slug, found.code)


@require_POST
def stay_home(request: HttpRequest, tour: str, code: str) -> HttpResponse:
    """A piece goes along no longer."""
    found = get_object_or_404(queries.tour(request.collection), code=tour)
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    actions.stay_home(tour=found, piece=piece)
    return redirect("road:tour", request.collection.slug, found.code)

"""The page of a tour's backup, and what others confirm on the telephone."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from collection.road import queries
from collection.road.cover import actions
from collection.road.cover.forms import CallForm
from collection.road.cover.page import cover as cover_of
from collection.road.needs import current_tour
from collection.road.wanted.queries import open_words
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def cover(request: HttpRequest, tour: str) -> HttpResponse:
    """Shows against positions: the backup of each, and what closes the holes."""
    found = get_object_or_404(queries.tour(request.collection), code=tour)
    seen = cover_of(request.collection, found, now=clock.now(), member=request.membership)
    asked_for = open_words(request.collection)
    page = {"tour": found, "cover": seen, "asked_for": asked_for}
    page["outside"] = queries.outside(request.collection)
    return render(request, "road/cover/cover.html", page)


@needs(Role.TECHNICIAN)
def call(request: HttpRequest, of: str) -> HttpResponse:
    """What somebody said on the telephone about what they hold."""
    held = get_object_or_404(queries.outside(request.collection), code=of)
    tour = current_tour(request.collection, now=clock.now())
    form = CallForm(
        request.POST or None, shows=queries.coming_shows(request.collection, tour, now=clock.now()),
        initial={"price": held.price, "confirmed_on": clock.today(request.collection.zone_info)},
    )  # fmt: skip
    if request.method == "POST" and form.is_valid():
        actions.note_call(by=request.membership, held=held, **form.cleaned_data)
        messages.success(request, f"{held.code}: what you were told counts from now on.")
        return redirect("road:outside", request.collection.slug)
    return render(request, "road/cover/call.html", {"form": form, "held": held})

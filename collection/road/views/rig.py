"""The rig plan: the stage from above, and one form a position."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.ledger.errors import PlanRefused
from collection.road import actions, plan, queries
from collection.road.forms import PositionForm
from collection.road.list_form import ListForm, options_for
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def rig(request: HttpRequest, tour: str) -> HttpResponse:
    """The rig plan of a tour as it stands now."""
    found = get_object_or_404(queries.tour(request.collection), code=tour)
    seen = plan.rig_of(request.collection, found, now=clock.now(), member=request.membership)
    return render(request, "road/rig.html", {"tour": found, "plan": seen})


def position(request: HttpRequest, tour: str, position: int) -> HttpResponse:
    """Fill or change one position; a number not on the plan yet is a new one."""
    found = get_object_or_404(queries.tour(request.collection), code=tour)
    form = PositionForm(
        request.POST or None,
        collection=request.collection,
        initial=plan.position_as_form(found, position),
    )
    if request.method == "POST" and form.is_valid():
        try:
            actions.set_position(tour=found, number=position, **form.cleaned_data)
            return redirect("road:rig", request.collection.slug, found.code)
        except PlanRefused as refused:
            for reason in refused.reasons:
                form.add_error(None, reason)
    seen = {"form": form, "tour": found, "number": position}
    return render(request, "road/position.html", seen)


@needs(Role.TECHNICIAN)
def position_list(request: HttpRequest, tour: str, position: int) -> HttpResponse:
    """The artist's list for a position, by picking."""
    rows = queries.positions(request.collection).select_related("piece", "backup")
    found = get_object_or_404(rows, tour__code=tour, number=position)
    options = options_for(found, queries.pieces(request.collection))
    form = ListForm(request.POST or None, position=found, options=options)
    if request.method == "POST" and form.is_valid():
        actions.set_list(position=found, **form.lists())
        messages.success(request, f"The list for position {found} is kept.")
        return redirect("road:rig", request.collection.slug, found.tour.code)
    return render(request, "road/position_list.html", {"form": form, "position": found})


@require_POST
def beside(request: HttpRequest, tour: str, position: int) -> HttpResponse:
    """The backup was carried from the truck to the side of the stage."""
    rows = queries.positions(request.collection)
    found = get_object_or_404(rows, tour__code=tour, number=position)
    actions.carry_beside(position=found)
    messages.success(request, f"Position {found}: its backup stands at the side of the stage.")
    return redirect("desk:tonight", request.collection.slug)

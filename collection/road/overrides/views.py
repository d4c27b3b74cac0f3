"""A position on one night: put something else there, or play as planned."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.ledger.errors import PlanRefused
from collection.road import plan, queries
from collection.road.mains.queries import misfits_at
from collection.road.overrides import actions
from collection.road.overrides.forms import OverrideForm
from collection.road.overrides.queries import of_show
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


def _place(request: HttpRequest, show: str, position: int):
    found = get_object_or_404(queries.shows(request.collection), code=show)
    rows = queries.positions(request.collection).select_related("piece__design", "backup__design")
    return found, get_object_or_404(rows, tour=found.tour, number=position)


@needs(Role.TECHNICIAN)
def tonight(request: HttpRequest, show: str, position: int) -> HttpResponse:
    """What plays at a position at one show instead of what the plan says."""
    found, place = _place(request, show, position)
    known = next((row for row in of_show(found) if row.position_id == place.pk), None)
    names = ("piece", "outside", "backup", "who", "because") if known else ()
    form = OverrideForm(
        request.POST or None, collection=request.collection,
        initial={name: getattr(known, name) for name in names},
    )  # fmt: skip
    if request.method == "POST" and form.is_valid():
        try:
            told = {"by": request.membership, "position": place, "show": found}
            actions.set_override(**told, **form.cleaned_data)
            return redirect("road:show", request.collection.slug, found.code)
        except PlanRefused as refused:
            form.add_error(None, list(refused.reasons))
    seen = {"form": form, "show": found, "position": place, "known": known}
    return render(request, "road/overrides/tonight.html", seen)


@require_POST
def as_planned(request: HttpRequest, show: str, position: int) -> HttpResponse:
    """The position plays what the plan says."""
    found, place = _place(request, show, position)
    actions.as_planned(position=place, show=found)
    messages.success(request, f"Position {place} plays as planned.")
    return redirect("road:show", request.collection.slug, found.code)


@require_safe
def stage(request: HttpRequest, show: str) -> HttpResponse:
    """The stage picture of one show, for the wall: one sheet of A4."""
    found = get_object_or_404(queries.shows(request.collection), code=show)
    seen = plan.rig_of(
        request.collection, found.tour, now=clock.now(), member=request.membership, show=found
    )
    wrong = misfits_at(found, [line.position for line in seen.lines], seen.rules)
    return render(request, "road/stage.html", {"show": found, "plan": seen, "misfits": wrong})

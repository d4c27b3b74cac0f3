"""Makers, designs and circuits."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from collection.catalogue import actions, queries
from collection.catalogue.forms import CircuitForm, DesignForm, MakerForm, PositionFormSet
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def designs(request: HttpRequest) -> HttpResponse:
    """Makers and what they drew."""
    context = {
        "makers": queries.makers(request.collection),
        "designs": queries.designs(request.collection),
    }
    return render(request, "catalogue/designs.html", context)


@require_safe
def circuits(request: HttpRequest) -> HttpResponse:
    """Circuits with their positions and what was declared close."""
    found = queries.circuits(request.collection).prefetch_related("positions", "close_to")
    return render(request, "catalogue/circuits.html", {"circuits": found})


@needs(Role.TECHNICIAN)
def add_maker(request: HttpRequest) -> HttpResponse:
    """One more maker."""
    form = MakerForm(request.POST or None, collection=request.collection)
    if form.is_valid():
        made = actions.add_maker(collection=request.collection, **form.cleaned_data)
        return _done(request, "catalogue:designs", made)
    return _form_page(request, form, "Add a maker")


@needs(Role.TECHNICIAN)
def edit_maker(request: HttpRequest, maker: int) -> HttpResponse:
    """Change a maker's name or note."""
    found = get_object_or_404(queries.makers(request.collection), pk=maker)
    form = MakerForm(request.POST or None, instance=found, collection=request.collection)
    if form.is_valid():
        actions.change_drawn(found, **form.cleaned_data)
        return _done(request, "catalogue:designs", found)
    return _form_page(request, form, "Edit a maker")


@needs(Role.TECHNICIAN)
def add_design(request: HttpRequest) -> HttpResponse:
    """One more design."""
    form = DesignForm(request.POST or None, collection=request.collection)
    if form.is_valid():
        made = actions.enter_design(collection=request.collection, **form.cleaned_data)
        return _done(request, "catalogue:designs", made)
    return _form_page(request, form, "Add a design")


@needs(Role.TECHNICIAN)
def edit_design(request: HttpRequest, design: int) -> HttpResponse:
    """Change what is said of a design."""
    found = get_object_or_404(queries.designs(request.collection), pk=design)
    form = DesignForm(request.POST or None, instance=found, collection=request.collection)
    if form.is_valid():
        actions.change_design(found, **form.cleaned_data)
        return _done(request, "catalogue:designs", found)
    return _form_page(request, form, "Edit a design")


@needs(Role.TECHNICIAN)
def add_circuit(request: HttpRequest) -> HttpResponse:
    """One more circuit with its positions."""
    form = CircuitForm(request.POST or None, collection=request.collection)
    positions = PositionFormSet(request.POST or None, prefix="position")
    if form.is_valid() and positions.is_valid():
        made = actions.enter_circuit(
            collection=request.collection, positions=positions.described(), **form.cleaned_data
        )
        return _done(request, "catalogue:circuits", made)
    return _form_page(request, form, "Add a circuit", positions)


@needs(Role.TECHNICIAN)
def edit_circuit(request: HttpRequest, circuit: int) -> HttpResponse:
    """Change a circuit, its positions, and what may stand in for it."""
    found = get_object_or_404(queries.circuits(request.collection), pk=circuit)
    form = CircuitForm(request.POST or None, instance=found, collection=request.collection)
    known = [_position_as_typed(position) for position in queries.positions(found)]
    positions = PositionFormSet(request.POST or None, prefix="position", initial=known)
    if form.is_valid() and positions.is_valid():
        actions.change_circuit(found, positions=positions.described(), **form.cleaned_data)
        return _done(request, "catalogue:circuits", found)
    return _form_page(request, form, "Edit a circuit", positions)


def _position_as_typed(position) -> dict[str, str]:
    names = ("name", "does", "grade", "matched_with")
    return {name: getattr(position, name) for name in names} | {"fits": ", ".join(position.fits)}


def _done(request: HttpRequest, back: str, thing) -> HttpResponse:
    messages.success(request, f"{thing} is written.")
    return redirect(back, request.collection.slug)


def _form_page(request: HttpRequest, form, title: str, positions=None) -> HttpResponse:
    makers = queries.makers(request.collection)
    context = {"form": form, "title": title, "positions": positions, "makers": makers}
    return render(request, "catalogue/drawn_form.html", context)

"""Presses before and during a show: one tap each, written at once."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST

from collection.ledger.errors import LedgerError
from collection.road import actions, queries
from collection.road.forms import NoteForm, PressForm
from registry import clock


def _press(request: HttpRequest) -> dict:
    """Who pressed, where, and how the press came."""
    telling = PressForm(request.POST).telling(now=clock.now())
    return {"collection": request.collection, "by": request.membership, "telling": telling}


@require_POST
def it_died(request: HttpRequest, show: str, position: int) -> HttpResponse:
    """A position went silent; the outage clock starts."""
    found = get_object_or_404(queries.shows(request.collection), code=show)
    rows = queries.positions(request.collection)
    place = get_object_or_404(rows, tour=found.tour, number=position)
    try:
        played = request.POST.get("played", "")
        died = actions.it_died(show=found, position=place, played=played, **_press(request))
    except LedgerError as refused:
        messages.error(request, str(refused))
        return redirect("desk:show_mode", request.collection.slug)
    if request.htmx:
        return render(request, "road/_outage.html", {"died": died, "now": clock.now()})
    return redirect("desk:show_mode", request.collection.slug)


@require_POST
def sound_back(request: HttpRequest, died: int) -> HttpResponse:
    """Sound is back; the outage clock stops."""
    found = get_object_or_404(queries.deaths(request.collection), pk=died)
    actions.sound_back(died=found, at=_press(request)["telling"].written_at)
    if request.htmx:
        return render(request, "road/_outage.html", {"died": found, "now": clock.now()})
    return redirect("desk:show_mode", request.collection.slug)


@require_POST
def back(request: HttpRequest, show: str, position: int) -> HttpResponse:
    """Sound is back at a position whose death was still on its way when this was pressed."""
    found = get_object_or_404(queries.shows(request.collection), code=show)
    at = _press(request)["telling"].written_at or clock.now()
    silent = queries.silent_at(found, position, at=at)
    if silent:
        actions.sound_back(died=silent, at=at)
    return redirect("desk:show_mode", request.collection.slug)


@require_POST
def note(request: HttpRequest, show: str) -> HttpResponse:
    """One line about a show."""
    found = get_object_or_404(queries.shows(request.collection), code=show)
    form = NoteForm(request.POST)
    if form.is_valid():
        words = form.cleaned_data["line"]
        telling = PressForm(request.POST).telling(now=clock.now(), words=words)
        actions.note_show(by=request.membership, show=found, telling=telling)
    else:
        messages.error(request, "The line was empty; nothing was written.")
    back = "desk:show_mode" if request.POST.get("from") == "show" else "desk:tonight"
    return redirect(back, request.collection.slug)


@require_POST
def strings(request: HttpRequest, code: str) -> HttpResponse:
    """New strings are on."""
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    actions.strings_on(piece=piece, **_press(request))
    messages.success(request, f"{piece.code}: strings on, in the book.")
    return redirect("desk:tonight", request.collection.slug)


@require_POST
def checked(request: HttpRequest, tour: str, position: int) -> HttpResponse:
    """A check before doors was done."""
    rows = queries.positions(request.collection).select_related("piece")
    found = get_object_or_404(rows, tour__code=tour, number=position)
    what = request.POST.get("what", "")
    if what in found.checks and found.piece:
        actions.checked(position=found, what=what, **_press(request))
        messages.success(request, f"{what}: checked, in the book.")
    else:
        messages.error(request, "That check is no longer on the plan.")
    return redirect("desk:tonight", request.collection.slug)


@require_POST
def did_it_again(request: HttpRequest, fault: str) -> HttpResponse:
    """A known fault showed itself again."""
    found = get_object_or_404(queries.faults(request.collection), code=fault)
    actions.did_it_again(fault=found, **_press(request))
    messages.success(request, f"{found.piece.code}: {found.symptom}, again, in the book.")
    return redirect("desk:tonight", request.collection.slug)


@require_POST
def here(request: HttpRequest, code: str) -> HttpResponse:
    """A piece that was not found is here after all."""
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    actions.seen_here(piece=piece, now=clock.now(), **_press(request))
    messages.success(request, f"{piece.code} was seen, in the book.")
    return redirect("desk:tonight", request.collection.slug)

"""Pages of places."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from collection.custody import gazetteer, queries
from collection.custody.cases import queries as cases
from collection.custody.forms import PlaceForm
from collection.custody.models import Place
from collection.custody.stocktake import reading as stocktakes
from collection.custody.whereabouts import Whereabouts, whereabouts
from collection.ledger.errors import LedgerError
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def places(request: HttpRequest) -> HttpResponse:
    """All places as a tree, with what is in each."""
    known = whereabouts(request.membership)
    context = {"nodes": queries.tree(request.collection, known)}
    context |= stocktakes.beside_places(request.membership)
    return render(request, "custody/places.html", context)


@require_safe
def place(request: HttpRequest, place: str) -> HttpResponse:
    """One place: what is in it and in everything inside it."""
    known = whereabouts(request.membership)
    row = _place(known, place)
    if row.kind == Place.Kind.ON_THE_WAY:
        return redirect("custody:shipment", request.collection.slug, row.code)
    nodes = [n for n in queries.tree(request.collection, known) if n.place.inside_id == row.pk]
    context = {
        "place": row,
        "hidden": known.hidden(row.pk),
        "words": known.words(row.pk),
        "town": known.town(row.pk),
        "above": [one for one in known.chain(row.pk)[:-1] if not known.hidden(one.pk)],
        "nodes": nodes,
    }
    context["kept"], context["gone"] = queries.kept_in(row, known)
    context |= _packed_and_counted(request, known, row)
    return render(request, "custody/place.html", context)


def _packed_and_counted(request: HttpRequest, known: Whereabouts, row: Place) -> dict[str, Any]:
    said = stocktakes.beside_a_place(row, request.membership)
    if row.kind == Place.Kind.CASE and not known.hidden(row.pk):
        said["case"] = cases.contents(row, known)
    if row.moves:
        said["seen"] = cases.seen(row, now=clock.now())
    return said


def _place(known: Whereabouts, code: str) -> Place:
    if code not in known.by_code:
        raise Http404("No such place.")
    return known.by_code[code]


@needs(Role.TECHNICIAN)
def add_place(request: HttpRequest) -> HttpResponse:
    """Add a place."""
    known = whereabouts(request.membership)
    start = {"inside": request.GET.get("inside", ""), "opens_minutes": 30}
    form = PlaceForm(request.POST or None, known=known, initial=start)
    return _save_place(request, form, "Add a place")


@needs(Role.TECHNICIAN)
def edit_place(request: HttpRequest, place: str) -> HttpResponse:
    """Change what is known of a place."""
    known = whereabouts(request.membership)
    row = _place(known, place)
    start = {name: getattr(row, name) for name in PlaceForm.base_fields if hasattr(row, name)}
    start["inside"] = row.inside.code if row.inside else ""
    form = PlaceForm(request.POST or None, known=known, place=row, initial=start)
    return _save_place(request, form, f"Change {row.code}")


def _save_place(request: HttpRequest, form: PlaceForm, title: str) -> HttpResponse:
    if form.is_bound and form.is_valid():
        try:
            saved = form.keep(request.membership)
            messages.success(request, f"{saved.code} {saved.name}: kept.")
            return redirect("custody:place", request.collection.slug, saved.code)
        except LedgerError as error:
            form.add_error(None, str(error))
    return render(request, "custody/place_form.html", {"form": form, "title": title})


@needs(Role.TECHNICIAN)
@require_safe
def towns(request: HttpRequest) -> HttpResponse:
    """Towns that what is being typed may mean."""
    said = request.GET.get("town", "")[:120]
    context = {"towns": gazetteer.towns(said), "said": said, "picked": ""}
    return render(request, "custody/_towns.html", context)

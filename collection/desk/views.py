"""The front pages: pieces, one piece, search, everything else."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from collection.catalogue import queries as catalogue
from collection.custody.stocktake import queries as stocktakes
from collection.desk.as_of.views import or_as_of_a_day
from collection.desk.filters import PieceFilter
from collection.desk.queries import pieces as listed
from collection.desk.queries.one_piece import page_of
from collection.desk.queries.search import find
from collection.desk.queries.whereabouts import places_for
from registry import clock

LINES = 48  # a page of the list: whole rows of a gallery of two, three, four or six


def _today(request: HttpRequest):
    return clock.today(request.collection.zone_info)


@require_safe
@vary_on_headers("HX-Request")
@or_as_of_a_day
def pieces(request: HttpRequest) -> HttpResponse:
    """Pieces of the collection, narrowed and sorted, as a table or a gallery."""
    today, places = _today(request), places_for(request.membership)
    found = PieceFilter(
        request.GET,
        listed.listed(request.collection),
        places=places,
        circuits=catalogue.circuits(request.collection).values_list("name", flat=True),
        today=today,
    )
    page = Paginator(found.qs, LINES).get_page(request.GET.get("page"))
    shown = listed.lines(page, member=request.membership, places=places, today=today)
    context = {"filter": found, "page": page, "lines": shown, "narrowed": found.in_words()}
    context["gallery"] = request.GET.get("view") == "gallery"
    if not request.htmx:
        return render(request, "desk/pieces.html", context)
    part = render(request, "desk/_pieces_found.html", context)
    part["Cache-Control"] = "no-store"  # or the way back would show it as the whole page
    return part


@require_safe
def piece(request: HttpRequest, code: str) -> HttpResponse:
    """One piece: where it is, whether it works, what happened to it."""
    found = get_object_or_404(listed.listed(request.collection), code=code)
    before = _number(request.GET.get("before"))
    page = page_of(found, request.membership, today=_today(request), before=before)
    context = {"page": page, "before": before}
    context["counts"] = stocktakes.open_counts(found.subject, request.membership)
    return render(request, "desk/piece.html", context)


@require_safe
def search(request: HttpRequest) -> HttpResponse:
    """Look for a code, a nickname, a serial; a code leads straight to its page."""
    text = request.GET.get("q", "").strip()[:80]
    places, today = places_for(request.membership), _today(request)
    found = find(text, request.membership, places=places, today=today)
    if found.is_code:
        return redirect("desk:piece", request.collection.slug, found.is_code)
    return render(request, "desk/search.html", {"text": text, "found": found})


@require_safe
def more(request: HttpRequest) -> HttpResponse:
    """The pages that have no place on the strap."""
    return render(request, "desk/more.html", {})


def _number(text: str | None) -> int | None:
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 16 else None

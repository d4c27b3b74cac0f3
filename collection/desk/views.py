"""The front pages: pieces, one piece, search, everything else."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from collection.catalogue import queries as catalogue


@require_safe
def to_pieces(request: HttpRequest) -> HttpResponse:
    """The list of pieces, where no tour is on."""
    return redirect("desk:pieces", request.collection.slug)


@require_safe
def pieces(request: HttpRequest) -> HttpResponse:
    """Pieces of the collection."""
    found = catalogue.pieces(request.collection)
    return render(request, "desk/pieces.html", {"pieces": found})


@require_safe
def piece(request: HttpRequest, code: str) -> HttpResponse:
    """One piece."""
    found = get_object_or_404(catalogue.pieces(request.collection), code=code)
    return render(request, "desk/piece.html", {"piece": found})


@require_safe
def search(request: HttpRequest) -> HttpResponse:
    """Look for a code, a nickname, a serial."""
    return render(request, "desk/search.html", {})


@require_safe
def more(request: HttpRequest) -> HttpResponse:
    """The pages that have no place on the strap."""
    return render(request, "desk/more.html", {})

"""Linked records as files: the piece, its provenance, one act."""

import json

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_safe

from collection.catalogue.queries import pieces
from collection.core.linked_art import Json
from collection.custody.whereabouts import whereabouts
from collection.papers.dossier.queries import History, history_of
from collection.papers.linked.record import provenance_of, record_of
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
@needs(Role.TECHNICIAN)
def piece(request: HttpRequest, code: str) -> HttpResponse:
    """The record of one piece."""
    history, address = _history(request, code)
    return _answer(record_of(history, address=address), f"{code}.jsonld")


@require_safe
@needs(Role.TECHNICIAN)
def provenance(request: HttpRequest, code: str) -> HttpResponse:
    """A record of every act of its provenance, in order of happening."""
    history, address = _history(request, code)
    return _answer(provenance_of(history, address=address), f"{code}-provenance.jsonld")


@require_safe
@needs(Role.TECHNICIAN)
def act(request: HttpRequest, code: str, entry: int) -> HttpResponse:
    """One act by the number of its entry."""
    history, address = _history(request, code)
    wanted = f"{address}provenance/{entry}/"
    found = [one for one in provenance_of(history, address=address) if one["id"] == wanted]
    if not found:
        raise Http404("No act of this piece's provenance has that number.")
    return _answer(found[0], f"{code}-{entry}.jsonld")


def _history(request: HttpRequest, code: str) -> tuple[History, str]:
    found = get_object_or_404(pieces(request.collection), code=code)
    address = reverse("papers:linked", args=[request.collection.slug, code])
    history = history_of(found, request.membership, whereabouts(request.membership))
    return history, request.build_absolute_uri(address)


def _answer(record: Json | list[Json], name: str) -> HttpResponse:
    text = json.dumps(record, ensure_ascii=False, indent=1)
    answer = HttpResponse(text, content_type="application/ld+json")
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    return answer

"""Pages on which photos stand side by side."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core.state import from_json
from collection.custody.filed.queries import file_of
from collection.ledger.models import Subject
from collection.papers.theft.comparing import FinderForm, VerdictForm, against, finders_photos
from registry.access.gate import needs
from registry.access.roles import Role


def _piece(request: HttpRequest, code: str) -> Piece:
    found = pieces(request.collection).select_related("subject__state", "collection")
    return get_object_or_404(found, code=code)


def _file(piece: Piece) -> Subject:
    """Where a finder's photo is kept: the incident of the piece, else the piece."""
    state = getattr(piece.subject, "state", None)
    return file_of(piece.subject, from_json(state.detail).incident if state else None)


@needs(Role.TECHNICIAN)
@require_safe
def compare(request: HttpRequest, code: str) -> HttpResponse:
    """The photos of a piece beside another's, a finder's, or its own."""
    return _page(request, _piece(request, code))


def _page(request: HttpRequest, piece: Piece, status: int = 200, **forms) -> HttpResponse:
    asked = (request.POST or request.GET).get("with", "").strip().upper()[:40]
    other = pieces(request.collection).filter(code=asked).first() if asked else None
    found = finders_photos(_file(piece))
    beside = other.code if other else "a finder's photo" if found else "its own photos"
    said = {"collection": request.collection, "member": request.membership}
    context = {
        "piece": piece,
        "other": other,
        "asked": asked,
        "found": found,
        "beside": beside,
        "pairs": against(piece, request.membership, other=other, found=found),
        "finder": FinderForm(),
        "verdict": VerdictForm(code=piece.code, beside=beside, **said),
        **forms,
    }
    return render(request, "papers/theft/compare.html", context, status=status)


@needs(Role.TECHNICIAN)
@require_POST
def found_photo(request: HttpRequest, code: str) -> HttpResponse:
    """A finder's photo comes in, and is kept as evidence."""
    piece, form = _piece(request, code), FinderForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, piece, 422, finder=form)
    form.keep(_file(piece), piece, request.membership)
    messages.success(request, "Filed; it stands beside ours.")
    return redirect("papers:compare", request.collection.slug, piece.code)


@needs(Role.TECHNICIAN)
@require_POST
def verdict(request: HttpRequest, code: str) -> HttpResponse:
    """What the photos said, as a note on the piece."""
    piece, beside = _piece(request, code), request.POST.get("beside", "")[:60]
    form = VerdictForm(
        request.POST, code=piece.code, beside=beside or "other photos",
        collection=request.collection, member=request.membership,
    )  # fmt: skip
    if form.saved() is None:
        return _page(request, piece, 422, verdict=form)
    messages.success(request, f"{piece.code}: written down.")
    return redirect("papers:compare", request.collection.slug, piece.code)

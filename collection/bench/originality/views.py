"""Pages on what is original and when it was built."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.bench import queries as bench
from collection.bench.originality import pages
from collection.bench.originality.forms import DocumentForm, OriginalityForm
from collection.catalogue.models import Piece
from collection.ledger.queries import questions_of
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def across(request: HttpRequest) -> HttpResponse:
    """Pieces with judged parts or dated papers, those that contradict themselves first."""
    found = pages.in_doubt_first(request.collection, request.membership)
    return render(request, "bench/originality/across.html", {"found": found})


@require_safe
def originality(request: HttpRequest, code: str) -> HttpResponse:
    """The date ladder of a piece, its window, its survey."""
    page = pages.page_of(_piece(request, code), request.membership)
    return render(request, "bench/originality/piece.html", {"page": page, "piece": page.piece})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def check(request: HttpRequest, code: str) -> HttpResponse:
    """Judge one part; 'Read it' shows the readings of a marking without saving."""
    piece = _piece(request, code)
    if request.method == "POST" and "read" in request.POST:
        asked = {name: value for name, value in request.POST.items() if name != "read"}
        form = _form(OriginalityForm, request, piece, initial=asked, only_read=True)
        return render(request, "bench/originality/check.html", {"piece": piece, "form": form})
    form = _form(OriginalityForm, request, piece, initial=request.GET.dict())
    return _answer(request, piece, form, "bench/originality/check.html")


@require_safe
@needs(Role.TECHNICIAN)
def reading(request: HttpRequest, code: str) -> HttpResponse:
    """The readings of a marking while it is typed."""
    piece = _piece(request, code)
    typed = {"marking": request.GET.get("marking", "")[:40]}
    form = _form(OriginalityForm, request, piece, initial=typed)
    return render(request, "bench/originality/_readings.html", {"form": form})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def add_document(request: HttpRequest, code: str) -> HttpResponse:
    """A dated paper, photo or appearance."""
    piece = _piece(request, code)
    form = _form(DocumentForm, request, piece, initial={})
    return _answer(request, piece, form, "bench/originality/document.html")


def _piece(request: HttpRequest, code: str) -> Piece:
    return get_object_or_404(bench.pieces(request.collection), code=code)


def _form(form_class, request: HttpRequest, piece: Piece, *, initial, only_read: bool = False):
    sends = request.method == "POST" and not only_read
    sent = (request.POST, request.FILES) if sends else (None, None)
    who = {"collection": request.collection, "member": request.membership}
    return form_class(*sent, initial=initial, piece=piece, **who)


def _answer(request: HttpRequest, piece: Piece, form, template: str) -> HttpResponse:
    event = form.saved() if form.is_bound else None
    if event is None:
        status = 422 if form.is_bound else 200
        return render(request, template, {"piece": piece, "form": form}, status=status)
    messages.success(request, f"Written, entry {event.sequence}.")
    for asked in questions_of(event):
        messages.warning(request, f"The book asks: {asked.facts['question']}")
    return redirect("bench:originality", request.collection.slug, piece.code)

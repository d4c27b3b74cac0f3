"""Pages of sheets: those of a piece, one to print, two beside each other, a new one."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.bench import queries as bench
from collection.bench.sheets import actions, pages, queries
from collection.bench.sheets.forms import SheetForm
from collection.bench.sheets.queries import SHEETS, Sheet
from collection.catalogue.models import Piece
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def sheets(request: HttpRequest, code: str) -> HttpResponse:
    """How a piece stands, what moved since the night before, how its twin stands."""
    page = pages.page_of(_piece(request, code), request.membership)
    return render(request, "bench/sheets/sheets.html", {"page": page, "piece": page.piece})


@require_safe
def sheet(request: HttpRequest, sheet: int) -> HttpResponse:
    """One sheet, to read at the piece or to print."""
    found = _sheet(request, sheet)
    return render(request, "bench/sheets/sheet.html", {"sheet": found, "piece": found.piece})


@require_safe
def compare(request: HttpRequest, code: str) -> HttpResponse:
    """Two nights or two units beside each other; the two newest when none is chosen."""
    piece = _piece(request, code)
    page = pages.comparison(piece, request.membership, chosen=request.GET)
    return render(request, "bench/sheets/compare.html", {"page": page, "piece": piece})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def set_down(request: HttpRequest, code: str, sheet: str) -> HttpResponse:
    """A new sheet, started from the one in `like`."""
    piece, kind = _piece(request, code), _kind(sheet)
    form = _form(request, piece, kind)
    event = form.saved() if request.method == "POST" else None
    if event is not None:
        messages.success(request, f"Written, entry {event.sequence}.")
        return redirect("bench:sheets", request.collection.slug, code)
    context = {"piece": piece, "form": form, "word": sheet}
    status = 422 if form.is_bound else 200
    return render(request, "bench/sheets/set_down.html", context, status=status)


@require_POST
@needs(Role.TECHNICIAN)
def like_that_night(request: HttpRequest, sheet: int) -> HttpResponse:
    """Tonight is like that night: one press, the same sheet again."""
    found = _sheet(request, sheet)
    today = clock.today(request.collection.zone_info)
    event = actions.copy_sheet(
        collection=request.collection,
        by=request.membership,
        code=found.piece.code,
        like=found.event,
        show=pages.show_on(request.collection, today),
        telling=pages.pressed(request.collection, request.POST.get("once", "")),
    )
    messages.success(request, f"Written, entry {event.sequence}: as on {found.when}.")
    return redirect("bench:sheets", request.collection.slug, found.piece.code)


def _piece(request: HttpRequest, code: str) -> Piece:
    return get_object_or_404(bench.pieces(request.collection), code=code)


def _kind(word: str) -> str:
    if word not in SHEETS:
        raise Http404(f"No sheet is called {word!r}.")
    return SHEETS[word]


def _sheet(request: HttpRequest, number: int) -> Sheet:
    found = queries.sheet(request.collection, number, request.membership)
    if found is None:
        raise Http404(f"Entry {number} is no sheet, or it has been corrected.")
    return found


def _form(request: HttpRequest, piece: Piece, kind: str) -> SheetForm:
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    asked = request.POST.get("like") or request.GET.get("like")
    like = pages.started_from(piece, kind, request.membership, asked=asked)
    who = {"collection": request.collection, "member": request.membership}
    return SheetForm(*sent, piece=piece, sheet=kind, like=like, **who)

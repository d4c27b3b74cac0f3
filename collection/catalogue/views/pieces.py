"""Add and edit a piece."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.html import escape
from django.views.decorators.http import require_GET

from collection.catalogue import actions, queries
from collection.catalogue.forms import PieceForm
from collection.core.partial_date import PartialDate, PartialDateError
from collection.ledger.errors import CodeTaken
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.TECHNICIAN)
def add_piece(request: HttpRequest) -> HttpResponse:
    """A new piece, under the next code of its letter unless another is typed."""
    kind = request.GET.get("kind", "")
    form = PieceForm(request.POST or None, collection=request.collection, initial={"kind": kind})
    if form.is_valid():
        try:
            piece = actions.enter_piece(
                collection=request.collection,
                by=request.membership,
                code=form.cleaned_data["code"],
                telling=form.telling(),
                **form.described(),
            )
        except CodeTaken as taken:
            form.add_error("code", ValidationError(str(taken)))
        else:
            return _written(request, piece, f"{piece.code} is in the register.")
    return _form_page(request, form, queries.next_codes(request.collection))


@needs(Role.TECHNICIAN)
def edit_piece(request: HttpRequest, code: str) -> HttpResponse:
    """Change a piece's papers; the book says what became what."""
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    form = PieceForm(request.POST or None, collection=request.collection, instance=piece)
    if not form.is_valid():
        return _form_page(request, form)
    actions.change_piece(piece=piece, by=request.membership, **form.described())
    return _written(request, piece, f"The papers of {piece.code} are written.")


@require_GET
def read_year(request: HttpRequest) -> HttpResponse:
    """Echo how a year as typed is read, or why it cannot be."""
    said = (request.GET.get("year") or request.GET.get("produced") or "").strip()[:64]
    if not said:
        return HttpResponse("")
    try:
        read = PartialDate.read(said)
    except PartialDateError as error:
        return HttpResponse(escape(f"Cannot be read: {error.reason}."))
    return HttpResponse(escape(f"Read as {read.text}, {read.sentence()}"))


def _written(request: HttpRequest, piece, done: str) -> HttpResponse:
    messages.success(request, done)
    others = queries.with_serial(request.collection, piece.serial, but=piece)
    if others:
        named = ", ".join(str(other) for other in others)
        messages.warning(
            request,
            f"The serial {piece.serial} is also on {named}. "
            "That may be right: makers reused numbers. A serial is a candidate, never an identity.",
        )
    return redirect("desk:piece", request.collection.slug, piece.code)


def _form_page(request: HttpRequest, form: PieceForm, codes: dict | None = None) -> HttpResponse:
    makers = queries.makers(request.collection)
    context = {"form": form, "makers": makers, "codes": codes}
    return render(request, "catalogue/piece_form.html", context)

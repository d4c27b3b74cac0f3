"""Pages of loans: the list, lending, taking in, one loan, its sheet, giving back."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.catalogue.actions import add_photo
from collection.custody.loans import queries
from collection.custody.loans.back_forms import BackForm, NewEndForm, OutPhotoForm, SignedForm
from collection.custody.loans.forms import LendForm, TakeInForm
from collection.custody.loans.models import Loan
from collection.ledger.queries import questions_of
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role

ASKED = ["GET", "HEAD", "POST"]


@require_safe
def loans(request: HttpRequest) -> HttpResponse:
    """What is lent, what is here of others', until when; overdue first."""
    found = queries.all_loans(request.collection, today=_today(request))
    return render(request, "custody/loans/loans.html", {"loans": found})


@require_http_methods(ASKED)
@needs(Role.TECHNICIAN)
def lend(request: HttpRequest) -> HttpResponse:
    """Lend pieces of ours."""
    given = request.POST if request.method == "POST" else request.GET
    asked = given.getlist("pieces")
    form = LendForm(*_sent(request), asked=asked, initial={"pieces": asked}, **_who(request))
    return _written(request, form, "custody/loans/lend.html")


@require_http_methods(ASKED)
@needs(Role.TECHNICIAN)
def take_in(request: HttpRequest) -> HttpResponse:
    """Take in something of somebody else's."""
    form = TakeInForm(*_sent(request), initial=request.GET.dict(), **_who(request))
    return _written(request, form, "custody/loans/take_in.html")


def _written(request: HttpRequest, form, page: str) -> HttpResponse:
    loan = form.saved() if form.is_bound else None
    if loan is not None:
        messages.success(request, f"{loan.code}: {loan.get_way_display()}, in the book.")
        return redirect("custody:loan", request.collection.slug, loan.code)
    return render(request, page, {"form": form}, status=422 if form.is_bound else 200)


@never_cache
@require_safe
def loan(request: HttpRequest, loan: str) -> HttpResponse:
    """One loan: its terms, its pieces with photos side by side, the signed sheet."""
    return _page(request, _loan(request, loan))


@never_cache
@require_safe
def sheet(request: HttpRequest, loan: str) -> HttpResponse:
    """The sheet that both sign before anything leaves."""
    found = _loan(request, loan)
    page = queries.page_of(found, today=_today(request), member=request.membership)
    return render(request, "custody/loans/sheet.html", {"page": page, "loan": found})


@require_http_methods(ASKED)
@needs(Role.TECHNICIAN)
def back(request: HttpRequest, loan: str) -> HttpResponse:
    """A piece of it is given back."""
    found = _loan(request, loan)
    page = queries.page_of(found, today=_today(request), member=request.membership)
    one = _asked_about(request, page)
    form = BackForm(*_sent(request), row=one.row, pairs=one.pairs, **_who(request))
    event = form.saved() if form.is_bound else None
    if event is not None:
        messages.success(request, f"{one.row.piece.code}: back, in the book; unproven until tried.")
        for asked in questions_of(event):
            messages.warning(request, f"The book asks: {asked.facts['question']}")
        return redirect("custody:loan", request.collection.slug, found.code)
    context = {"form": form, "page": page, "one": one, "loan": found}
    return render(request, "custody/loans/back.html", context, status=422 if form.is_bound else 200)


@require_http_methods(ASKED)
@needs(Role.TECHNICIAN)
def longer(request: HttpRequest, loan: str) -> HttpResponse:
    """Another last day, with why and on whose word."""
    found = _loan(request, loan)
    form = NewEndForm(_sent(request)[0], loan=found, **_who(request))
    if form.is_bound and form.saved() is not None:
        messages.success(request, f"{found.code}: the new last day is in the book.")
        return redirect("custody:loan", request.collection.slug, found.code)
    status = 422 if form.is_bound else 200
    context = {"form": form, "loan": found}
    return render(request, "custody/loans/longer.html", context, status=status)


def _asked_about(request: HttpRequest, page: queries.LoanPage) -> queries.PieceOnLoan:
    """The piece named in the address, else the first that is still out, else the first."""
    code = request.GET.get("piece", "")
    out = [one for one in page.pieces if one.row.back_entry is None] or page.pieces
    if not out:
        raise Http404("There is nothing on this loan.")
    return next((one for one in page.pieces if one.row.piece.code == code), out[0])


@require_POST
@needs(Role.TECHNICIAN)
def signed(request: HttpRequest, loan: str) -> HttpResponse:
    """File the photo of the signed sheet by its hash."""
    found, form = _loan(request, loan), SignedForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, found, signed_form=form, status=422)
    photo = add_photo(
        collection=request.collection, by=request.membership, subject=found.subject,
        data=form.cleaned_data["photo"], caption=f"signed sheet of {found.code}",
    )  # fmt: skip
    messages.success(request, f"The signed sheet is kept, SHA-256 {photo.sha256[:12]}…")
    return redirect("custody:loan", request.collection.slug, found.code)


@require_POST
@needs(Role.TECHNICIAN)
def photograph(request: HttpRequest, loan: str) -> HttpResponse:
    """One more view of a piece, as it was handed over or as it was given back."""
    found = _loan(request, loan)
    form = OutPhotoForm(request.POST, request.FILES, loan=found)
    if not form.is_valid():
        return _page(request, found, photo_form=form, status=422)
    said = form.cleaned_data
    add_photo(
        collection=request.collection, by=request.membership, subject=said["piece"].subject,
        data=said["photo"], view=said["view"], entry=form.entry(),
    )  # fmt: skip
    messages.success(request, f"{said['piece'].code}: the photo is with the loan.")
    return redirect("custody:loan", request.collection.slug, found.code)


def _page(request: HttpRequest, found: Loan, *, status: int = 200, **more) -> HttpResponse:
    page = queries.page_of(found, today=_today(request), member=request.membership)
    forms = {"signed_form": SignedForm(), "photo_form": OutPhotoForm(loan=found)}
    return render(
        request, "custody/loans/loan.html", {"page": page, "loan": found} | forms | more,
        status=status,
    )  # fmt: skip


def _loan(request: HttpRequest, code: str) -> Loan:
    return get_object_or_404(queries.loans(request.collection), code=code)


def _who(request: HttpRequest) -> dict:
    return {"collection": request.collection, "member": request.membership}


def _sent(request: HttpRequest) -> tuple:
    return (request.POST, request.FILES) if request.method == "POST" else (None, None)


def _today(request: HttpRequest):
    return clock.today(request.collection.zone_info)

"""Pages of stocktakes: begin, count blind, compare, close, sign; and the sheet of paper."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.forms import Form
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.custody.models import Place
from collection.custody.stocktake import actions, closing, forms, queries, reading, signing
from collection.custody.stocktake.models import Stocktake
from collection.custody.whereabouts import whereabouts
from collection.ledger.errors import LedgerError, PlanRefused
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.TECHNICIAN)
@require_safe
def stocktakes(request: HttpRequest) -> HttpResponse:
    """Every stocktake, with what still waits for a second signature."""
    today = clock.today(request.collection.zone_info)
    context = {
        "stocktakes": queries.listed(request.collection),
        "waiting": queries.waiting(request.collection, today=today),
    }
    return render(request, "custody/stocktake/all.html", context)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def start(request: HttpRequest, place: str) -> HttpResponse:
    """How a count goes, and the press that begins it."""
    row = _place(request, place)
    if request.method == "POST":
        try:
            made = actions.start(collection=request.collection, by=request.membership, place=row)
            return redirect("custody:stocktake", request.collection.slug, made.code)
        except actions.CountShut as shut:
            messages.warning(request, str(shut))
    context = {"place": row, "words": whereabouts(request.membership).words(row.pk)}
    context["other"] = queries.overlapping(row)
    return render(request, "custody/stocktake/start.html", context)


@never_cache
@require_safe
@needs(Role.TECHNICIAN)
def sheet(request: HttpRequest, place: str) -> HttpResponse:
    """The count sheet to print: blind with empty lines, or with the list and its QR codes."""
    row, known = _place(request, place), whereabouts(request.membership)
    shut = queries.shut_for(row, request.membership)
    listed = request.GET.get("list") == "yes" and not shut
    here = reverse("custody:place", args=[request.collection.slug, row.code])
    context = {
        "place": row,
        "words": known.words(row.pk),
        "shut": shut,
        "listed": listed,
        "things": reading.sheet_of(row, known, request.build_absolute_uri) if listed else (),
        "inside": queries.places_inside(row),
        "address": request.build_absolute_uri(here),
        "lines": range(reading.EMPTY_LINES),
        "today": clock.today(request.collection.zone_info),
    }
    return render(request, "custody/stocktake/sheet.html", context)


@never_cache
@require_safe
@needs(Role.TECHNICIAN)
def stocktake(request: HttpRequest, count: str) -> HttpResponse:
    """One stocktake: blind while it is counted, then compared, then as it was closed."""
    return _page(request, _stocktake(request, count))


@require_POST
@needs(Role.TECHNICIAN)
def mark(request: HttpRequest, count: str) -> HttpResponse:
    """Count the codes that were typed or scanned; what is no code stays in the field."""
    row = _stocktake(request, count)
    form = forms.MarkForm(request.POST, stocktake=row)
    if not form.is_valid():
        return _page(request, row, form)
    given = {"codes": form.cleaned_data["codes"], "at": form.cleaned_data.get("at")}
    marked = _tried(request, lambda: actions.mark(stocktake=row, by=request.membership, **given))
    if marked is None:
        return _back(request, row)
    reading.say(request, marked)
    if not marked.unknown:
        return _back(request, row, at=given["at"])
    return _page(request, row, reading.with_unknown(row, marked, given["at"]))


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def unlabelled(request: HttpRequest, count: str) -> HttpResponse:
    """Count something without a label."""
    row = _stocktake(request, count)
    form = forms.UnlabelledForm(
        request.POST or None, request.FILES or None, stocktake=row,
        initial={"words": request.GET.get("words", "")[:200], "at": request.GET.get("at", "")},
    )  # fmt: skip
    if form.is_valid():
        told = form.cleaned_data
        _tried(
            request,
            lambda: actions.mark_unlabelled(stocktake=row, by=request.membership, **told),
            f"Counted without a label: {told['words']}.",
        )
        return _back(request, row, at=told.get("at"))
    context = {"stocktake": row, "form": form}
    return render(request, "custody/stocktake/unlabelled.html", context)


@require_POST
@needs(Role.TECHNICIAN)
def unmark(request: HttpRequest, count: str, mark: int) -> HttpResponse:
    """Take a slip of the finger back."""
    row = _stocktake(request, count)
    _tried(request, lambda: actions.unmark(stocktake=row, mark=mark), "Taken off the count.")
    return _back(request, row)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def picture(request: HttpRequest, count: str) -> HttpResponse:
    """Add a photo of the place, for whoever signs."""
    row = _stocktake(request, count)
    form = forms.PictureForm(request.POST or None, request.FILES or None)
    if not form.is_valid():
        return render(request, "custody/stocktake/picture.html", {"stocktake": row, "form": form})
    _tried(
        request,
        lambda: actions.picture(stocktake=row, by=request.membership, **form.cleaned_data),
        "The photo is with the count.",
    )
    return _back(request, row)


@require_POST
@needs(Role.TECHNICIAN)
def done(request: HttpRequest, count: str) -> HttpResponse:
    """Done counting: the list opens."""
    row = _stocktake(request, count)
    _tried(request, lambda: actions.finish(stocktake=row, by=request.membership))
    return _back(request, row)


@require_POST
@needs(Role.TECHNICIAN)
def close(request: HttpRequest, count: str) -> HttpResponse:
    """Write what the count found into the book."""
    row, form = _stocktake(request, count), forms.CloseForm(request.POST)
    if form.is_valid():
        told = form.telling()
        _tried(
            request,
            lambda: closing.close(stocktake=row, by=request.membership, telling=told),
            f"{row.code} is closed and in the book.",
        )
    return _back(request, row)


@require_POST
@needs(Role.TECHNICIAN)
def give_up(request: HttpRequest, count: str) -> HttpResponse:
    """Leave a count without a result."""
    row, form = _stocktake(request, count), forms.GiveUpForm(request.POST)
    if not form.is_valid():
        messages.warning(request, "Say why it is given up; the book keeps the reason.")
        return _back(request, row)
    because = form.cleaned_data["because"]
    _tried(
        request,
        lambda: actions.give_up(stocktake=row, by=request.membership, because=because),
        f"{row.code} was given up.",
    )
    return _back(request, row)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def sign_photos(request: HttpRequest, count: str) -> HttpResponse:
    """The second signature, from the photos."""
    row = _stocktake(request, count)
    form = forms.PhotosForm(
        request.POST or None, collection=request.collection, member=request.membership
    )
    return _sign(
        request, row, form,
        lambda: signing.sign_from_photos(
            stocktake=row, by=request.membership, telling=form.telling()
        ),
    )  # fmt: skip


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def sign_recount(request: HttpRequest, count: str) -> HttpResponse:
    """The second signature, after the drawn ones were counted again."""
    row = _stocktake(request, count)
    form = forms.RecountForm(
        request.POST or None, stocktake=row, collection=request.collection,
        member=request.membership,
    )  # fmt: skip
    return _sign(
        request, row, form,
        lambda: signing.sign_recount(
            stocktake=row, by=request.membership, there=form.there(), telling=form.telling()
        ),
    )  # fmt: skip


def _sign(request: HttpRequest, row: Stocktake, form: Form, act: Callable[[], Any]) -> HttpResponse:
    if form.is_valid():
        try:
            act()
            messages.success(request, f"{row.code} has its second signature.")
            return _back(request, row)
        except PlanRefused as refused:
            for reason in refused.reasons:
                form.add_error(None, reason)
        except LedgerError as error:
            form.add_error(None, str(error))
    page = reading.signing_page(row, request.membership)
    return render(request, "custody/stocktake/sign.html", {**page, "form": form})


def _stocktake(request: HttpRequest, code: str) -> Stocktake:
    return get_object_or_404(queries.stocktakes(request.collection), code=code)


def _place(request: HttpRequest, code: str) -> Place:
    known = whereabouts(request.membership)
    if code not in known.by_code:
        raise Http404("No such place.")
    return known.by_code[code]


def _page(request: HttpRequest, row: Stocktake, form: Form | None = None) -> HttpResponse:
    form = form or forms.MarkForm(stocktake=row, initial={"at": request.GET.get("at", "")})
    name, context = reading.page_of(row, request.membership)
    extra = {"form": form, "close": forms.CloseForm(), "give_up": forms.GiveUpForm()}
    return render(request, f"custody/stocktake/{name}.html", {**context, **extra})


def _tried(request: HttpRequest, act: Callable[[], Any], said: str = "") -> Any:
    """What the act made; when it was refused, None and the reason on the next page."""
    try:
        made = act()
    except LedgerError as error:
        messages.warning(request, str(error))
        return None
    if said:
        messages.success(request, said)
    return made


def _back(request: HttpRequest, row: Stocktake, at: Place | None = None) -> HttpResponse:
    there = reverse("custody:stocktake", args=[request.collection.slug, row.code])
    return redirect(f"{there}?at={at.code}" if at else there)

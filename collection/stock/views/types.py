"""Pages of types: all of them, one with its forecast, what if, when to pull, what is assumed."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.stock import actions, pages, queries
from collection.stock.bookings import planned
from collection.stock.forecast import Prospect
from collection.stock.forms.catalogue import TypeForm
from collection.stock.forms.choice import OutlookForm, PullChoiceForm
from collection.stock.queries.kept import kept_prospect
from collection.stock.records import TypeStock
from registry import clock
from registry.access.queries import member_names


def _today(request: HttpRequest):
    return clock.today(request.collection.zone_info)


def _stock(request: HttpRequest, code: str) -> TypeStock:
    found = queries.shelf(request.collection).stock(code)
    if found is None:
        raise Http404("There is no such type in this collection.")
    return found


def prospect_of(request: HttpRequest, code: str) -> Prospect:
    """The stock of a type with everything its forecast is made of; raises Http404."""
    today = _today(request)
    bookings = planned(request.collection, today)
    return Prospect(_stock(request, code), today=today, bookings=bookings)


def _kept_prospect(request: HttpRequest, code: str, *, afresh: bool) -> Prospect:
    """The same, from memory where nothing has changed: a slider asks many times."""
    told = {"today": (today := _today(request)), "bookings": planned(request.collection, today)}
    found = kept_prospect(request.collection, code, afresh=afresh, **told)
    if found is None:
        raise Http404("There is no such type in this collection.")
    return found


def _context(request: HttpRequest, prospect: Prospect, **more) -> dict:
    names = member_names(request.collection)
    return pages.one_type(prospect, request.GET, names=names, **more)


@require_safe
def stock(request: HttpRequest) -> HttpResponse:
    """All types, what is left of each, what runs out first."""
    shelf, today = queries.shelf(request.collection), _today(request)
    bookings = planned(request.collection, today)
    context = pages.all_types(shelf, today=today, bookings=bookings)
    return render(request, "stock/stock.html", context)


@require_safe
def type_page(request: HttpRequest, type: str) -> HttpResponse:
    """One type: what is left, how long, when to pull, what would be if."""
    if request.htmx and not request.htmx.boosted:
        prospect = _kept_prospect(request, type, afresh=False)
        return render(request, "stock/_what_if.html", pages.what_if(prospect, request.GET))
    prospect = _kept_prospect(request, type, afresh=True)
    return render(request, "stock/type.html", _context(request, prospect))


@require_POST
def choose_pull(request: HttpRequest, type: str) -> HttpResponse:
    """Store when to pull, with who and why."""
    prospect = prospect_of(request, type)
    form = PullChoiceForm(request.POST)
    if not form.is_valid():
        context = _context(request, prospect, pull_form=form)
        return render(request, "stock/type.html", context, status=422)
    actions.choose_pull(
        collection=request.collection,
        by=request.membership,
        type=prospect.stock.lead,
        pull_hours=form.pull_hours,
        because=form.cleaned_data["because"],
    )
    messages.success(request, f"Stored: when to pull {prospect.stock.name}.")
    return redirect("stock:type", request.collection.slug, type)


@require_http_methods(["GET", "HEAD", "POST"])
def outlook(request: HttpRequest, type: str) -> HttpResponse:
    """What is assumed of a type beyond its log."""
    found = _stock(request, type)
    form = OutlookForm(request.POST or None, instance=found.outlook)
    if request.method == "POST" and form.is_valid():
        actions.set_outlook(
            collection=request.collection,
            by=request.membership,
            type=found.outlook_type,
            **form.cleaned_data,
        )
        messages.success(request, f"Stored: what is assumed of {found.name}.")
        return redirect("stock:type", request.collection.slug, type)
    context = {"form": form, "stock": found, "type": found.lead}
    return render(request, "stock/outlook.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def add_type(request: HttpRequest) -> HttpResponse:
    """A new part type with its limits."""
    form = TypeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        kind = actions.add_type(
            collection=request.collection, code=form.cleaned_data["code"], **form.limits()
        )
        return redirect("stock:type", request.collection.slug, kind.code)
    context = {"form": form, "title": "Add a type"}
    return render(request, "stock/type_form.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def edit_type(request: HttpRequest, type: str) -> HttpResponse:
    """Limits, equivalents, set size and clock of a type."""
    kind = queries.type_named(request.collection, type)
    form = TypeForm(request.POST or None, instance=kind)
    if request.method == "POST" and form.is_valid():
        actions.change_type(type=kind, **form.limits())
        return redirect("stock:type", request.collection.slug, kind.code)
    context = {"form": form, "title": f"Limits of {kind.code}", "type": kind}
    return render(request, "stock/type_form.html", context, status=422 if form.errors else 200)


@require_safe
def limits(request: HttpRequest) -> HttpResponse:
    """Every type's limits, each with the sheet and rating system it is read in."""
    found = queries.types_of(request.collection)
    return render(request, "stock/limits.html", {"types": found})

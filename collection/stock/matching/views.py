"""Pages of matching: what is loose, a slip, sets of a group, labels, what lives on of a set."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from collection.ledger.errors import LedgerError
from collection.stock import queries as stock
from collection.stock.matching import actions, pages, queries
from collection.stock.matching.forms import ApartForm, SetsForm, SlipForm, ToleranceForm
from registry.access.gate import needs
from registry.access.roles import Role

SIZES = {"2": 2, "4": 4}


@require_safe
def matching(request: HttpRequest) -> HttpResponse:
    """Loose tubes by the conditions they were tested under, mates, sets to judge."""
    context = pages.everything_loose(request.collection)
    return render(request, "stock/matching/matching.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def slip(request: HttpRequest, lot: str) -> HttpResponse:
    """What a tester said of one loose tube of a lot."""
    found = stock.lot_named(request.collection, lot)
    form = _slip_form(request, found)
    if request.method == "POST" and form.is_valid():
        tube = actions.note_slip(
            collection=request.collection, by=request.membership, lot=found,
            telling=form.telling(), **form.act(),
        )  # fmt: skip
        messages.success(request, f"Written: the slip of {tube.code}. Mark the tube with it.")
        return redirect("stock:slip", request.collection.slug, lot)
    context = {"form": form, "lot": found}
    return render(request, "stock/matching/slip.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def group(request: HttpRequest, tube: str) -> HttpResponse:
    """Sets that a group of alike-tested tubes would make; made with one press."""
    found = queries.group_named(request.collection, tube)
    size = SIZES.get(request.GET.get("size") or request.POST.get("size", ""))
    context = pages.sets_of(found, size=size or found.lot.type.set_size)
    form = _sets_form(request, context["proposal"])
    if request.method == "POST" and form.is_valid():
        made = actions.make_sets(
            collection=request.collection, by=request.membership, group=found,
            sets=form.chosen(), rule=context["rule"], telling=form.telling(),
        )  # fmt: skip
        messages.success(request, f"Made: {', '.join(part.code for part in made)}.")
        return redirect("stock:matching", request.collection.slug)
    context |= {"form": form}
    return render(request, "stock/matching/group.html", context, status=422 if form.errors else 200)


@require_safe
def labels(request: HttpRequest) -> HttpResponse:
    """Small labels of sets, to print and stick on the boxes."""
    found = queries.labels(request.collection, request.GET.getlist("set"))
    return render(request, "stock/matching/labels.html", {"labels": found})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def apart(request: HttpRequest, part: str) -> HttpResponse:
    """What lives on of a set goes back to matching."""
    found = queries.set_named(request.collection, part)
    form = _apart_form(request, found)
    if request.method == "POST" and form.is_valid() and (kept := _parted(request, found, form)):
        said = ", ".join(tube.code for tube in kept)
        messages.success(request, f"Loose again: {said}. Test it before it is matched.")
        return redirect("stock:matching", request.collection.slug)
    context = {"form": form, "part": found}
    return render(request, "stock/matching/apart.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def tolerances(request: HttpRequest) -> HttpResponse:
    """Store how far apart tubes of a set may be; asked for alone, they stand on the page."""
    if request.method != "POST":
        return redirect(f"{reverse('stock:matching', args=[request.collection.slug])}#tolerances")
    form = ToleranceForm(request.POST, rule=queries.rule_of(request.collection))
    if not form.is_valid():
        context = pages.everything_loose(request.collection) | {"tolerance": form}
        return render(request, "stock/matching/matching.html", context, status=422)
    actions.choose_tolerances(
        collection=request.collection, by=request.membership, **form.cleaned_data
    )
    messages.success(request, "Stored: how far apart tubes of a set may be.")
    return redirect("stock:matching", request.collection.slug)


def _who(request: HttpRequest) -> dict:
    return {"collection": request.collection, "member": request.membership}


def _slip_form(request: HttpRequest, lot) -> SlipForm:
    data = request.POST if request.method == "POST" else None
    known = pages.slip_choices(lot)
    return SlipForm(data, lot=lot, **known, **_who(request))


def _sets_form(request: HttpRequest, proposal) -> SetsForm:
    data = request.POST if request.method == "POST" else None
    return SetsForm(data, proposal=proposal, **_who(request))


def _apart_form(request: HttpRequest, part) -> ApartForm:
    data = request.POST if request.method == "POST" else None
    return ApartForm(data, **pages.apart_choices(part), **_who(request))


def _parted(request: HttpRequest, part, form: ApartForm) -> list:
    try:
        return actions.part_set(
            collection=request.collection, by=request.membership, part=part,
            telling=form.telling(), **form.act(),
        )  # fmt: skip
    except LedgerError as error:
        form.add_error(None, str(error))
        return []

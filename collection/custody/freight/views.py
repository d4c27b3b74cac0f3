"""Pages of freight: what is on the way, handing over, one shipment."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.catalogue.told import Naming, told_of
from collection.core import cautions
from collection.core.territory import CUSTOMS_AS_OF, customs_territory
from collection.custody.freight import actions, queries
from collection.custody.freight.forms import ExpectForm, ShipForm
from collection.custody.freight.models import Shipment
from collection.custody.queries import parties
from collection.custody.whereabouts import Whereabouts, whereabouts
from collection.ledger.errors import LedgerError
from collection.ledger.queries import questions_of
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@never_cache
@require_safe
def shipments(request: HttpRequest) -> HttpResponse:
    """What is on the way and what is late, and the newest arrivals."""
    found = queries.freight(request.collection, now=clock.now())
    known = whereabouts(request.membership)
    return render(request, "custody/freight/shipments.html", {"freight": found, "known": known})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def ship(request: HttpRequest) -> HttpResponse:
    """Hand pieces and cases to whoever brings them."""
    form = ShipForm(
        request.POST if request.method == "POST" else None,
        initial={"things": request.GET.getlist("things")},
        collection=request.collection,
        member=request.membership,
    )
    made = form.saved() if form.is_bound else None
    if made is not None:
        messages.success(request, f"{made.code}: on the way to {made.to}, in the book.")
        return redirect("custody:shipment", request.collection.slug, made.code)
    context = {"form": form, "air": cautions.AIR}
    return render(request, "custody/freight/ship.html", context, status=422 if form.errors else 200)


@never_cache
@require_safe
def shipment(request: HttpRequest, shipment: str) -> HttpResponse:
    """One shipment: what is in it, by whom, when it is expected, what the book says."""
    return _page(request, _shipment(request, shipment), ExpectForm())


@require_POST
@needs(Role.TECHNICIAN)
def expect(request: HttpRequest, shipment: str) -> HttpResponse:
    """It is expected at another time."""
    found, form = _shipment(request, shipment), ExpectForm(request.POST)
    if form.is_valid():
        try:
            actions.expect(
                shipment=found, by=request.membership, at=form.at_in(found.zone),
                why=form.cleaned_data["why"], once=form.cleaned_data["once"],
            )  # fmt: skip
            messages.success(request, f"{found.code}: the new time counts from now on.")
            return redirect("custody:shipment", request.collection.slug, found.code)
        except LedgerError as refused:
            form.add_error("at", str(refused))
    return _page(request, found, form, status=422)


def _shipment(request: HttpRequest, code: str) -> Shipment:
    return get_object_or_404(queries.shipments(request.collection), code=code)


def _page(
    request: HttpRequest, found: Shipment, form: ExpectForm, *, status: int = 200
) -> HttpResponse:
    (line,) = queries.lines([found], now=clock.now())
    known = whereabouts(request.membership)
    told = told_of(found.subject, request.membership, naming=_naming(request, known))
    passed = [customs_territory(country) for country in found.crosses]
    arrived = [one.event for one in told if one.event.kind == "arrived"]
    context = {
        "line": line, "shipment": found, "form": form, "told": told, "as_of": CUSTOMS_AS_OF,
        "from_words": known.words(found.origin_id), "to_words": known.words(found.to_id),
        "waiting": queries.still_in(found), "borders": len(set(passed)) > 1, "air": cautions.AIR,
        "asked": [asked for event in arrived for asked in questions_of(event)],
    }  # fmt: skip
    return render(request, "custody/freight/shipment.html", context, status=status)


def _naming(request: HttpRequest, known: Whereabouts) -> Naming:
    """Names where the book has codes of places and people."""
    people = dict(parties(request.collection).values_list("code", "name"))
    places = {code: known.words(place.pk) for code, place in known.by_code.items()}
    return lambda code: people.get(code) or places.get(code) or code

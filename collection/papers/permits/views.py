"""Pages of permits: certificates, materials part by part, the table of species, cautions."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.catalogue.queries import pieces
from collection.core.permit_cautions import RULES, cautions
from collection.core.species import SPECIES, STRICTER
from collection.custody.whereabouts import whereabouts
from collection.papers.borders import queries as borders
from collection.papers.permits import actions, queries
from collection.papers.permits.forms import (
    AbroadForm,
    CertificateForm,
    MaterialForm,
    RulesForm,
    SpeciesForm,
    StampForm,
)
from collection.papers.permits.models import InstrumentCertificate
from collection.road import queries as road
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role

asks_and_writes = require_http_methods(["GET", "HEAD", "POST"])


@needs(Role.TECHNICIAN)
@require_safe
def permits(request: HttpRequest) -> HttpResponse:
    """Certificates, and pieces whose parts are written down."""
    today = _today(request)
    months = queries.stale_months(request.collection)
    context = {
        "certificates": queries.lines(queries.certificates(request.collection), today=today),
        "pieces": queries.by_piece(request.collection),
        "tours": borders.tours_with_borders(request.collection)[:6],
        "rules": RulesForm(initial={"stale_months": months}),
        "advice": queries.advice(request.collection, today=today),
    }
    return render(request, "papers/permits/permits.html", context)


def _today(request: HttpRequest):
    return clock.today(request.collection.zone_info)


@needs(Role.TECHNICIAN)
@require_safe
def species(request: HttpRequest) -> HttpResponse:
    """What is listed, since when, what is exempt, with a source a row."""
    advice = queries.advice(request.collection, today=_today(request))
    context = {"species": SPECIES, "stricter": STRICTER, "advice": advice}
    return render(request, "papers/permits/species.html", context)


@require_POST
@needs(Role.KEEPER)
def rules(request: HttpRequest) -> HttpResponse:
    """After how many months the table is old."""
    form = RulesForm(request.POST)
    if form.is_valid():
        actions.set_rules(collection=request.collection, **form.cleaned_data)
        messages.success(request, "Kept.")
    else:
        messages.error(request, "Between 1 and 60 months.")
    return redirect("papers:permits", request.collection.slug)


@needs(Role.TECHNICIAN)
@require_safe
def trip(request: HttpRequest, tour: str) -> HttpResponse:
    """The cautions of one journey."""
    found = get_object_or_404(road.tour(request.collection), code=tour)
    today = _today(request)
    page = borders.borders(found, whereabouts(request.membership), today=today)
    context = {
        "tour": found, "cautions": cautions(queries.trip_of(page)), "asked": len(RULES),
        "pieces": page.travels, "advice": queries.advice(request.collection, today=today),
    }  # fmt: skip
    return render(request, "papers/permits/trip.html", context)


@asks_and_writes
@needs(Role.TECHNICIAN)
def materials(request: HttpRequest, code: str) -> HttpResponse:
    """What the parts of one piece are made of, its certificates, what it is meant for."""
    piece = get_object_or_404(pieces(request.collection), code=code)
    member = {"collection": request.collection, "member": request.membership}
    form = MaterialForm(request.POST or None, piece=piece, **member)
    if form.is_bound and form.saved() is not None:
        messages.success(request, f"{piece.code}: in the book.")
        return redirect("papers:materials", request.collection.slug, piece.code)
    abroad, today = queries.abroad_of(piece), _today(request)
    meant = {"for_sale": abroad.for_sale, "handed_over": abroad.handed_over} if abroad else {}
    papers = queries.certificates(request.collection).filter(piece=piece)
    context = {
        "form": form, "piece": piece, "parts": queries.materials_of(piece),
        "certificates": queries.lines(papers, today=today), "abroad": AbroadForm(initial=meant),
        "advice": queries.advice(request.collection, today=today),
    }  # fmt: skip
    status = 422 if form.errors else 200
    return render(request, "papers/permits/materials.html", context, status=status)


@require_POST
@needs(Role.TECHNICIAN)
def strike_material(request: HttpRequest, material: int) -> HttpResponse:
    """Take a part's material off."""
    row = get_object_or_404(queries.materials(request.collection), pk=material)
    actions.strike_material(row=row, by=request.membership)
    messages.success(request, f"{row.part}: struck, in the book.")
    return redirect("papers:materials", request.collection.slug, row.piece.code)


@require_POST
@needs(Role.TECHNICIAN)
def abroad(request: HttpRequest, code: str) -> HttpResponse:
    """Whether a piece is for sale or handed over abroad."""
    piece = get_object_or_404(pieces(request.collection), code=code)
    form = AbroadForm(request.POST)
    if form.is_valid():
        actions.set_abroad(piece=piece, by=request.membership, **form.cleaned_data)
        messages.success(request, "Kept.")
    return redirect("papers:materials", request.collection.slug, piece.code)


@asks_and_writes
@needs(Role.TECHNICIAN)
def add_certificate(request: HttpRequest) -> HttpResponse:
    """Keep a certificate of an instrument."""
    form = CertificateForm(
        request.POST or None, pieces=pieces(request.collection).order_by("code"),
        initial={"piece": request.GET.get("piece", "")},
        collection=request.collection, member=request.membership,
    )  # fmt: skip
    made = form.saved() if form.is_bound else None
    if made is not None:
        messages.success(request, f"{made.code}: kept. Now the species it names.")
        return redirect("papers:certificate", request.collection.slug, made.code)
    advice = queries.advice(request.collection, today=_today(request))
    status = 422 if form.errors else 200
    context = {"form": form, "advice": advice}
    return render(request, "papers/permits/add.html", context, status=status)


@needs(Role.TECHNICIAN)
@require_safe
def certificate(request: HttpRequest, certificate: str) -> HttpResponse:
    """One certificate with its species and crossings."""
    return _certificate_page(request, _certificate(request, certificate), SpeciesForm())


def _certificate(request: HttpRequest, code: str) -> InstrumentCertificate:
    return get_object_or_404(queries.certificates(request.collection), code=code)


def _certificate_page(
    request: HttpRequest, found: InstrumentCertificate, form: SpeciesForm
) -> HttpResponse:
    today = _today(request)
    (line,) = queries.lines([found], today=today)
    context = {
        "line": line, "certificate": found, "form": form,
        "advice": queries.advice(request.collection, today=today),
    }  # fmt: skip
    status = 422 if form.errors else 200
    return render(request, "papers/permits/certificate.html", context, status=status)


@require_POST
@needs(Role.TECHNICIAN)
def add_species(request: HttpRequest, certificate: str) -> HttpResponse:
    """A part and species that the certificate names."""
    found, form = _certificate(request, certificate), SpeciesForm(request.POST)
    if not form.is_valid():
        return _certificate_page(request, found, form)
    actions.add_species(certificate=found, by=request.membership, **form.cleaned_data)
    return redirect("papers:certificate", request.collection.slug, found.code)


@asks_and_writes
@needs(Role.TECHNICIAN)
def stamp(request: HttpRequest, certificate: str) -> HttpResponse:
    """Write down a crossing on the continuation sheet."""
    found = _certificate(request, certificate)
    form = StampForm(
        request.POST or None, certificate=found, initial={"on": _today(request)},
        collection=request.collection, member=request.membership,
    )  # fmt: skip
    if form.is_bound and form.saved() is not None:
        messages.success(request, "In the book.")
        return redirect("papers:certificate", request.collection.slug, found.code)
    context = {"form": form, "certificate": found}
    status = 422 if form.errors else 200
    return render(request, "papers/permits/stamp.html", context, status=status)

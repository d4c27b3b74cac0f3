"""Pages of a theft: now, and what goes on the sheets."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.core import cautions
from collection.custody import actions, queries
from collection.custody.incident import moment_of, pieces_of, said_when, snapshot
from collection.custody.models import Incident
from collection.custody.steps import KEYS
from collection.custody.theft_forms import ReportForm, SheetsForm, TheftForm
from collection.custody.whereabouts import whereabouts
from collection.custody.withheld import held_back_of, photos_of, secrets_of
from collection.ledger.errors import LedgerError
from collection.ledger.forms import read_when
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role

FIND = "find"


@needs(Role.TECHNICIAN)
def start(request: HttpRequest) -> HttpResponse:
    """Say what is gone; from a piece, from a case, or from nothing."""
    asked = request.method == "POST" and FIND not in request.POST
    given = request.POST if request.method == "POST" else request.GET
    everything = queries.codes_inside(request.collection, given.get("everything_in", ""))
    ticked = sorted({*given.getlist("piece"), *given.getlist("pieces"), *everything})
    form = TheftForm(
        request.POST if asked else None,
        initial={**given.dict(), "pieces": ticked, "everything_in": ""},
        collection=request.collection,
        member=request.membership,
        offered=queries.offered_as_gone(request.collection, ticked, given.get("q", "")),
        known=whereabouts(request.membership),
    )
    if asked and form.is_valid() and (incident := _reported(request, form)):
        return redirect("custody:incident", request.collection.slug, incident.code)
    return render(request, "custody/theft.html", {"form": form, "caution": cautions.THEFT})


def _reported(request: HttpRequest, form: TheftForm) -> Incident | None:
    case = form.cleaned_data["everything_in"]
    everything = queries.codes_inside(request.collection, case) if case else []
    try:
        return form.report(everything)
    except LedgerError as error:
        form.add_error(None, str(error))
        return None


@require_safe
def incidents(request: HttpRequest) -> HttpResponse:
    """Every theft and loss."""
    rows = queries.incidents(request.collection)
    return render(request, "custody/incidents.html", {"incidents": rows})


def _incident(request: HttpRequest, code: str) -> Incident:
    return get_object_or_404(queries.incidents(request.collection), code=code)


def now(request: HttpRequest, incident: str) -> HttpResponse:
    """What is to be done now; with `at`, as it stood at a moment."""
    row = _incident(request, incident)
    if request.method == "POST":
        return _save_report(request, row)
    at, said, wrong = request.GET.get("at", "").strip()[:60], "", ""
    try:
        said = read_when(at, collection=request.collection, now=clock.now()) if at else ""
    except ValidationError as error:
        wrong = error.message
    context = _shown(request, row, said)
    return render(request, "custody/incident.html", {**context, "at": at, "wrong": wrong})


def _shown(request: HttpRequest, row: Incident, said: str) -> dict:
    stood_at = moment_of(said, request.collection.zone_info)
    shot = snapshot(row, now=clock.now(), at=stood_at)
    known = whereabouts(request.membership)
    report = {n: getattr(row, n) for n in ReportForm.base_fields}
    return {
        "incident": row,
        "shot": shot,
        "stood_at": stood_at,
        "where": row.place_words or known.words(row.place_id),
        "town": known.town(row.place_id) if row.place_id in known.rows else "",
        "last_seen": said_when(row.last_seen, shot.zone),
        "found_gone": said_when(row.found_gone, shot.zone),
        "form": ReportForm(initial=report),
        "caution": cautions.THEFT,
    }


@needs(Role.TECHNICIAN)
def _save_report(request: HttpRequest, row: Incident) -> HttpResponse:
    form = ReportForm(request.POST)
    if not form.is_valid():
        context = {**_shown(request, row, ""), "form": form}
        return render(request, "custody/incident.html", context)
    actions.update_report(incident=row, by=request.membership, **form.changes(row))
    messages.success(request, f"{row.code}: kept.")
    return redirect("custody:incident", request.collection.slug, row.code)


@needs(Role.TECHNICIAN)
@require_POST
def tick(request: HttpRequest, incident: str) -> HttpResponse:
    """One step is done, or was ticked too early."""
    row = _incident(request, incident)
    step, undo = request.POST.get("step", ""), request.POST.get("undo", "")
    if (step or undo) in KEYS:
        actions.tick(incident=row, by=request.membership, step=step or undo, done=bool(step))
    else:
        messages.error(request, "There is no such step.")
    return redirect("custody:incident", request.collection.slug, row.code)


@needs(Role.TECHNICIAN)
def sheets(request: HttpRequest, incident: str) -> HttpResponse:
    """Choose what goes on the notice, and print both sheets."""
    row = _incident(request, incident)
    own = pieces_of(row)
    form = SheetsForm(
        request.POST or None,
        pieces=own,
        photos=photos_of(own),
        secrets=secrets_of(row),
        initial=_chosen(row, own),
    )
    if form.is_valid():
        actions.update_report(incident=row, by=request.membership, **form.changes())
        messages.success(request, "Kept; both sheets say it.")
        return redirect("custody:sheets", request.collection.slug, row.code)
    return render(request, "custody/sheets.html", {"incident": row, "form": form, "pieces": own})


def _chosen(row: Incident, own: list) -> dict:
    chosen = {"contact_words": row.contact_words, "contact_reach": row.contact_reach}
    photos = photos_of(own)
    for piece in own:
        first = next((p.pk for p in photos if p.subject_id == piece.pk), "")
        chosen[f"photo_{piece.pk}"] = row.photos.get(piece.code, first)
        chosen[f"held_{piece.pk}"] = list(held_back_of(row, piece))
    return chosen

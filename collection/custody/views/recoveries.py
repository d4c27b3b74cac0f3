"""Pages of what comes back: found, in quarantine, through its gates."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core import cautions
from collection.core.recovery import GATES
from collection.core.state import from_json
from collection.custody import actions, queries
from collection.custody.incident import gates as gates_of
from collection.custody.incident import snapshot
from collection.custody.theft_forms import EVIDENCE, GateForm, RecoverForm
from collection.custody.whereabouts import whereabouts
from collection.ledger.errors import LedgerError, PlanRefused
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


def _piece(request: HttpRequest, code: str) -> Piece:
    found = pieces(request.collection).select_related("subject__state", "collection")
    return get_object_or_404(found, code=code)


@needs(Role.TECHNICIAN)
def recover(request: HttpRequest, code: str) -> HttpResponse:
    """It turned up."""
    piece = _piece(request, code)
    form = RecoverForm(
        request.POST or None,
        collection=request.collection,
        member=request.membership,
        known=whereabouts(request.membership),
        people=[(party.code, str(party)) for party in queries.parties(request.collection)],
    )
    if form.is_valid():
        try:
            form.act(piece.code)
            return redirect("custody:gates", request.collection.slug, piece.code)
        except LedgerError as error:
            form.add_error(None, str(error))
    context = {"form": form, "piece": piece, "caution": cautions.QUARANTINE}
    return render(request, "custody/recover.html", context)


@require_safe
def gates(request: HttpRequest, code: str) -> HttpResponse:
    """The gates between a piece that turned up and one that may be used."""
    return _gates_page(request, _piece(request, code))


@needs(Role.KEEPER)
@require_POST
def clear(request: HttpRequest, code: str, gate: str) -> HttpResponse:
    """A keeper answers one gate."""
    if gate not in GATES:
        raise Http404("There is no such gate.")
    piece, form = _piece(request, code), GateForm(request.POST)
    if form.is_valid() and _cleared(request, piece, gate, form):
        return redirect("custody:gates", request.collection.slug, piece.code)
    return _gates_page(request, piece, tried=gate, form=form)


def _gates_page(
    request: HttpRequest, piece: Piece, *, tried: str = "", form: GateForm | None = None
) -> HttpResponse:
    """Every gate; what was sent for the one that was `tried` stays in its fields."""
    state = getattr(piece.subject, "state", None)
    known = from_json(state.detail if state else {})
    context = {
        "piece": piece,
        "state": known,
        "standing": known.standing.replace("_", " "),
        "gates": gates_of(piece) if state else (),
        "may_answer": request.membership.keeps and known.standing == "quarantined",
        "evidence": [kind for kind, _ in EVIDENCE],
        "caution": cautions.QUARANTINE,
        "tried": tried,
        "form": form,
        "ticked": request.POST.getlist("evidence"),
    }
    return render(request, "custody/gates.html", context, status=422 if tried else 200)


def _cleared(request: HttpRequest, piece: Piece, gate: str, form: GateForm) -> bool:
    try:
        actions.clear_gate(
            collection=request.collection,
            by=request.membership,
            code=piece.code,
            gate=gate,
            answer=form.cleaned_data["answer"],
            because=form.cleaned_data["because"],
            evidence=form.kinds(),
        )
    except PlanRefused as refused:
        for reason in refused.reasons:
            form.add_error(None, reason)
        return False
    messages.success(request, f"{piece.code}, passed: {GATES[gate]}.")
    return True


@require_safe
def incident_gates(request: HttpRequest, incident: str) -> HttpResponse:
    """Every piece of an incident with the gates it still has before it."""
    row = get_object_or_404(queries.incidents(request.collection), code=incident)
    shot = snapshot(row, now=clock.now())
    return render(request, "custody/incident_gates.html", {"incident": row, "shot": shot})

"""Pages of what comes back: found, in quarantine, through its gates."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core import cautions
from collection.core.recovery import GATES, RESTS_ON
from collection.core.state import from_json
from collection.custody import actions, queries
from collection.custody.choices import party_choices
from collection.custody.filed.actions import file_paper
from collection.custody.filed.models import FiledPaper
from collection.custody.filed.queries import file_of, with_subject
from collection.custody.incident import Passed, snapshot
from collection.custody.incident import gates as gates_of
from collection.custody.recovery_forms import (
    BehindForm,
    GateForm,
    RecoverForm,
    ReleaseForm,
    TitleForm,
)
from collection.custody.whereabouts import whereabouts
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Subject
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
        people=party_choices(request.collection, "repair", "police", "dealer", "auction"),
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
    piece = _piece(request, code)
    file = _file(piece)
    papers = with_subject(file)
    form = GateForm(request.POST, request.FILES, gate=gate, papers=papers)
    if form.is_valid() and _cleared(request, piece, file, form):
        return redirect("custody:gates", request.collection.slug, piece.code)
    return _gates_page(request, piece, form=form)


def _file(piece: Piece) -> Subject:
    state = getattr(piece.subject, "state", None)
    return file_of(piece.subject, from_json(state.detail).incident if state else None)


def _gates_page(
    request: HttpRequest, piece: Piece, *, form: GateForm | None = None
) -> HttpResponse:
    """Every gate; what was sent for the one that was tried stays in its fields."""
    state = getattr(piece.subject, "state", None)
    known = from_json(state.detail if state else {})
    papers = with_subject(_file(piece))
    found = gates_of(piece) if state else ()
    context = {
        "piece": piece,
        "state": known,
        "standing": known.standing.replace("_", " "),
        "gates": [(gate, _form(gate, papers, form)) for gate in found],
        "may_answer": request.membership.keeps and known.standing == "quarantined",
        "rests_on": RESTS_ON,
        "caution": cautions.QUARANTINE,
    }
    return render(request, "custody/gates.html", context, status=422 if form else 200)


def _form(gate: Passed, papers: list[FiledPaper], tried: GateForm | None) -> GateForm:
    if tried and tried.gate == gate.key:
        return tried
    return GateForm(gate=gate.key, papers=papers)


def _cleared(request: HttpRequest, piece: Piece, file: Subject, form: GateForm) -> bool:
    given, by = form.cleaned_data, request.membership
    papers = list(given.get("filed", ()))
    if given["paper"]:
        title = f"For the gate {form.gate}, {piece.code}"
        papers.append(file_paper(subject=file, by=by, title=title, content=given["paper"]).sha256)
    try:
        actions.clear_gate(
            collection=request.collection, by=by, code=piece.code, gate=form.gate,
            answer=given["answer"], because=given["because"], evidence=form.kinds(), papers=papers,
        )  # fmt: skip
    except PlanRefused as refused:
        for reason in refused.reasons:
            form.add_error(None, reason)
        return False
    messages.success(request, f"{piece.code}, passed: {GATES[form.gate]}.")
    return True


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def released(request: HttpRequest, code: str) -> HttpResponse:
    """Write down who gave it back, with the paper."""
    words = "who gave it back, to whom, and through whose hands it went"
    return _behind(request, code, ReleaseForm, {"title": "Release", "words": words})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def title_settled(request: HttpRequest, code: str) -> HttpResponse:
    """Write down what the insurer says of title, with the paper."""
    words = "what the insurer says of title; information, no legal advice"
    return _behind(request, code, TitleForm, {"title": "Whose it is", "words": words})


def _behind(
    request: HttpRequest, code: str, kind: type[BehindForm], said: dict[str, str]
) -> HttpResponse:
    piece = _piece(request, code)
    form = kind(
        request.POST or None, request.FILES or None, collection=request.collection,
        member=request.membership, code=piece.code, file=_file(piece),
    )  # fmt: skip
    if request.method == "POST" and form.saved():
        messages.success(request, f"{piece.code}: written down. A keeper answers the gate.")
        return redirect("custody:gates", request.collection.slug, piece.code)
    status = 422 if form.errors else 200
    context = {"form": form, "piece": piece, **said}
    return render(request, "custody/filed/behind.html", context, status=status)


@require_safe
def incident_gates(request: HttpRequest, incident: str) -> HttpResponse:
    """Every piece of an incident with the gates it still has before it."""
    row = get_object_or_404(queries.incidents(request.collection), code=incident)
    shot = snapshot(row, now=clock.now())
    return render(request, "custody/incident_gates.html", {"incident": row, "shot": shot})

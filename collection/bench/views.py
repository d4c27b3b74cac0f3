"""Pages for recording with one hand."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.bench import actions, queries
from collection.bench.acts import acts_for
from collection.bench.forms import FORMS, NotedForm
from collection.catalogue.models import Piece
from collection.ledger.models import Event
from collection.ledger.queries import questions_of, sentence_of
from registry.access.gate import needs
from registry.access.roles import Role

LAST = 3


@require_safe
@needs(Role.TECHNICIAN)
def record_start(request: HttpRequest) -> HttpResponse:
    """Choose the piece to record for: by code, or one of those at hand."""
    text = request.GET.get("q", "").strip()[:60]
    found = queries.found(request.collection, text) if text else []
    exact = [pick for pick in found if pick.piece.code.casefold() == text.casefold()]
    if exact or len(found) == 1:
        code = (exact or found)[0].piece.code
        return redirect("bench:record", request.collection.slug, code)
    played = [] if text else queries.played_last(request.collection)
    written = [] if text else queries.written_last(request.collection)
    context = {"text": text, "found": found, "played": played, "written": written}
    return render(request, "bench/record_start.html", context)


@require_safe
@needs(Role.TECHNICIAN)
def record(request: HttpRequest, code: str) -> HttpResponse:
    """Everything that can be recorded for one piece, the note first."""
    piece = _piece(request, code)
    state = queries.state_of(piece)
    context = {
        "piece": piece,
        "state": state,
        "pick": queries.Pick(piece, dict(state.serviced).get("strings", "")),
        "note": _form(NotedForm, request, piece),
        "faults": [queries.Open(fault) for fault in queries.open_faults_of(piece)],
        "acts": acts_for(piece, state),
        "lines": queries.last_told(piece, request.membership, LAST),
    }
    return render(request, "bench/record.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def record_kind(request: HttpRequest, code: str, kind: str) -> HttpResponse:
    """The form of one kind; saved, it leads back to the piece."""
    if kind not in FORMS:
        raise Http404(f"Nothing called {kind!r} is recorded at the bench.")
    piece = _piece(request, code)
    form = _form(FORMS[kind], request, piece)
    event = form.saved() if request.method == "POST" else None
    if event is not None:
        _say_what_was_written(request, event)
        return redirect("desk:piece", request.collection.slug, code)
    status = 422 if form.is_bound else 200
    return render(request, "bench/record_kind.html", {"piece": piece, "form": form}, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def proposed_tags(request: HttpRequest) -> HttpResponse:
    """Tags that imported words ask for: hang or drop those that were shown."""
    proposed = queries.proposed_tags(request.collection)
    acts = {"hang": actions.hang_proposed, "drop": actions.drop_proposed}
    act = acts.get(request.POST.get("do", ""))
    if act is None:
        status = 422 if request.method == "POST" else 200
        return render(request, "bench/proposed_tags.html", {"proposed": proposed}, status=status)
    shown = set(request.POST.getlist("entry"))
    chosen = [one.event for one in proposed if str(one.event.sequence) in shown]
    number = act(collection=request.collection, by=request.membership, proposed=chosen)
    said = "Hung" if request.POST["do"] == "hang" else "Dropped"
    messages.success(request, f"{said}: {number} of {len(proposed)} proposed tags.")
    return redirect("bench:proposed_tags", request.collection.slug)


def _piece(request: HttpRequest, code: str) -> Piece:
    return get_object_or_404(queries.pieces(request.collection), code=code)


def _form(form_class, request: HttpRequest, piece: Piece):
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    return form_class(
        *sent,
        initial=request.GET.dict(),
        piece=piece,
        collection=request.collection,
        member=request.membership,
    )


def _say_what_was_written(request: HttpRequest, event: Event) -> None:
    said = event.words if event.kind == "noted" else sentence_of(event)
    messages.success(request, f"Written: {said}", extra_tags=f"entry:{event.sequence}")
    for asked in questions_of(event):
        messages.warning(request, f"The book asks: {asked.facts['question']}")

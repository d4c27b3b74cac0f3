"""Rehearsals, bench sessions, what was left on."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.ledger.queries import sentence_of
from collection.road import queries
from collection.road.actions.sessions import log_session
from collection.road.session_forms import SessionForm
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def sessions(request: HttpRequest) -> HttpResponse:
    """Hours on that were no show, the newest first."""
    return render(request, "road/sessions.html", {"lines": queries.sessions(request.collection)})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def log(request: HttpRequest) -> HttpResponse:
    """Log one: which pieces, which hours."""
    asked = {"kind": request.GET.get("kind", "rehearsal"), "pieces": request.GET.getlist("piece")}
    form = SessionForm(
        request.POST or None, collection=request.collection, member=request.membership,
        pieces=queries.pieces_that_run(request.collection), initial=asked,
    )  # fmt: skip
    if request.method == "POST" and form.is_valid():
        event = log_session(
            collection=request.collection, by=request.membership, telling=form.telling(),
            **form.act(),
        )  # fmt: skip
        messages.success(request, f"Entry {event.sequence}: {sentence_of(event)}")
        return redirect("road:sessions", request.collection.slug)
    status = 422 if form.errors else 200
    return render(request, "road/session_form.html", {"form": form}, status=status)

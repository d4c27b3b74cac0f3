"""Pages of readings: those of a piece, a new one, all pieces that are read."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.bench import queries as bench
from collection.bench.readings import pages, queries
from collection.bench.readings.forms import MeasureForm
from collection.catalogue.models import Piece
from collection.ledger.queries import questions_of, sentence_of
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def readings_all(request: HttpRequest) -> HttpResponse:
    """Every piece that is read at idle, with its latest reading."""
    context = {"pieces": queries.measured_pieces(request.collection)}
    return render(request, "bench/readings/all.html", context)


@require_safe
def readings(request: HttpRequest, code: str) -> HttpResponse:
    """Readings of one piece, newest first, and how they moved."""
    piece = _piece(request, code)
    found = queries.readings_of(piece)
    context = {"piece": piece, "readings": found, "plot": pages.trend_of(found)}
    return render(request, "bench/readings/readings.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def measure(request: HttpRequest, code: str) -> HttpResponse:
    """A new reading; what looks odd is asked about once."""
    piece = _piece(request, code)
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    who = {"collection": request.collection, "member": request.membership}
    form = MeasureForm(*sent, piece=piece, **who)
    event = form.saved() if request.method == "POST" else None
    if event is not None:
        messages.success(request, f"Written, entry {event.sequence}: {sentence_of(event)}")
        for asked in questions_of(event):
            messages.warning(request, f"The book asks: {asked.facts['question']}")
        return redirect("bench:readings", request.collection.slug, code)
    status = 422 if form.is_bound else 200
    context = {"piece": piece, "form": form}
    return render(request, "bench/readings/measure.html", context, status=status)


def _piece(request: HttpRequest, code: str) -> Piece:
    return get_object_or_404(bench.pieces(request.collection), code=code)

"""The hours of a piece: both clocks as logged, the meter beside them."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from collection.bench import queries
from collection.bench.hours.actions import read_meter
from collection.bench.hours.forms import MeterForm
from collection.bench.hours.queries import hours_of
from collection.ledger.queries import questions_of, sentence_of
from registry.access.gate import refuse_below
from registry.access.roles import Role


@require_http_methods(["GET", "HEAD", "POST"])
def hours(request: HttpRequest, code: str) -> HttpResponse:
    """Hours logged, meters read, and the difference; whoever records may read one."""
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    asks = {"collection": request.collection, "member": request.membership,
            "meters": dict(queries.state_of(piece).meters)}  # fmt: skip
    form = MeterForm(request.POST or None, **asks)
    if request.method == "POST":
        refuse_below(request, Role.TECHNICIAN)
        if form.is_valid():
            event = read_meter(collection=request.collection, by=request.membership, code=code,
                               telling=form.telling(), **form.act())  # fmt: skip
            messages.success(request, f"Entry {event.sequence}: {sentence_of(event)}")
            for asked in questions_of(event):
                messages.warning(request, f"The book asks: {asked.facts['question']}")
            return redirect("bench:hours", request.collection.slug, code)
    context = {"piece": piece, "form": form, "hours": hours_of(piece)}
    return render(request, "bench/hours.html", context, status=422 if form.errors else 200)

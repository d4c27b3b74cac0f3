"""The page of an arrival."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from collection.bench.arrivals.forms import ArrivalForm
from collection.custody.freight import queries
from collection.ledger.queries import questions_of
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def arrival(request: HttpRequest, shipment: str) -> HttpResponse:
    """Something arrived: warm first, then the case, what came, what is wrong, then power."""
    found = get_object_or_404(queries.shipments(request.collection), code=shipment)
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = ArrivalForm(
        *sent, shipment=found, collection=request.collection, member=request.membership
    )
    event = form.saved() if form.is_bound else None
    if event is not None:
        messages.success(request, f"{found.code} has arrived; what came is unproven until tried.")
        for asked in questions_of(event):
            messages.warning(request, f"The book asks: {asked.facts['question']}")
        return redirect("custody:shipment", request.collection.slug, found.code)
    (line,) = queries.lines([found], now=clock.now())
    context = {"form": form, "shipment": found, "line": line}
    return render(
        request, "bench/arrivals/arrival.html", context, status=422 if form.is_bound else 200
    )

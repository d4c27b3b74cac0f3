"""Pages of faults: all of them, one with its way, and the presses on it."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.bench.faults import actions, queries
from collection.bench.faults.forms import PressForm, ProvenAfterForm
from collection.bench.models import Fault
from collection.ledger.errors import LedgerError
from registry.access.gate import needs
from registry.access.roles import Role

PRESSES = {
    "again": (actions.again, "again, in the book"),
    "not-reproduced": (actions.not_reproduced, "not reproduced; it stays open"),
    "proven": (actions.prove, "proven, in the book"),
}


@require_safe
def faults(request: HttpRequest) -> HttpResponse:
    """Every fault: open, waiting for proof, over."""
    board = queries.board(request.collection)
    return render(request, "bench/faults.html", {"board": board})


@require_safe
def fault(request: HttpRequest, fault: str) -> HttpResponse:
    """One fault on its way out."""
    return _page(request, _fault(request, fault))


@require_POST
@needs(Role.TECHNICIAN)
def press(request: HttpRequest, fault: str, press: str) -> HttpResponse:
    """It is back, nobody could find it, or it is proven."""
    if press not in PRESSES:
        raise Http404(f"No press on a fault is called {press!r}.")
    found, form = _fault(request, fault), PressForm(request.POST)
    action, said = PRESSES[press]
    try:
        given = form.cleaned_data if form.is_valid() else {}
        action(fault=found, by=request.membership, **given)
        messages.success(request, f"{found.code}, {found.symptom}: {said}.")
    except LedgerError as refused:
        messages.error(request, str(refused))
    return redirect("bench:fault", request.collection.slug, found.code)


@require_POST
@needs(Role.TECHNICIAN)
def proven_after(request: HttpRequest, fault: str) -> HttpResponse:
    """After how many shows without it this fault counts as proven."""
    found, form = _fault(request, fault), ProvenAfterForm(request.POST)
    if not form.is_valid():
        return _page(request, found, form=form, status=422)
    actions.prove_after(fault=found, **form.cleaned_data)
    messages.success(request, f"{found.code} is proven after {found.proven_after_shows} shows.")
    return redirect("bench:fault", request.collection.slug, found.code)


def _fault(request: HttpRequest, code: str) -> Fault:
    return get_object_or_404(queries.faults(request.collection), code=code)


def _page(request: HttpRequest, found: Fault, *, form=None, status: int = 200) -> HttpResponse:
    page = queries.page_of(found)
    form = form or ProvenAfterForm(initial={"shows": found.proven_after_shows})
    context = {"page": page, "fault": found, "form": form}
    return render(request, "bench/fault.html", context, status=status)

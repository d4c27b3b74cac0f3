"""The handover as a page and a paper; who took over; keys."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.custody.queries import parties
from collection.desk.handover import actions, queries
from collection.desk.handover.forms import HandOverForm, KeyForm, NamesForm
from collection.desk.handover.models import HeldKey
from collection.desk.handover.sheet import OPEN_FIRST
from collection.desk.handover.sheet import handover as sheet_of
from collection.desk.lined import as_pdf
from collection.papers.dossier.views import paper_answer
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role

ASKED = ["GET", "HEAD", "POST"]


@never_cache
@require_safe
@needs(Role.TECHNICIAN)
def handover(request: HttpRequest) -> HttpResponse:
    """Everything the next pair of hands must know."""
    given = queries.handovers(request.membership)
    names = NamesForm(_last_names(given), collection=request.collection).names()
    sheet = sheet_of(request.membership, now=clock.now(), signs=names)
    context = {"sheet": sheet, "given": given, "open_first": OPEN_FIRST}
    context["people"] = parties(request.collection)
    return render(request, "desk/handover/handover.html", context)


@never_cache
@require_safe
@needs(Role.TECHNICIAN)
def handover_paper(request: HttpRequest) -> HttpResponse:
    """The same as a paper, with the names of whoever signs."""
    names = NamesForm(request.GET, collection=request.collection).names()
    now = clock.now()
    pdf = as_pdf(sheet_of(request.membership, now=now, signs=names), request.collection, now=now)
    day = now.astimezone(request.collection.zone_info)
    return paper_answer(pdf, f"handover-{day:%Y-%m-%d}.pdf")


@require_http_methods(ASKED)
@needs(Role.TECHNICIAN)
def hand_over(request: HttpRequest) -> HttpResponse:
    """Write who took over."""
    form = HandOverForm(request.POST or None, **_who(request))
    if form.is_bound and form.saved() is not None:
        messages.success(request, "It is in the book. Print the sheet, let both sign it.")
        return redirect("desk:handover", request.collection.slug)
    status = 422 if form.is_bound else 200
    return render(request, "desk/handover/hand_over.html", {"form": form}, status=status)


@never_cache
@require_http_methods(ASKED)
@needs(Role.TECHNICIAN)
def keys(request: HttpRequest) -> HttpResponse:
    """Every key, and one more."""
    form = KeyForm(request.POST or None, collection=request.collection)
    if form.is_bound and form.is_valid():
        actions.keep_key(by=request.membership, now=clock.now(), **form.cleaned_data)
        messages.success(request, "The key is on the list.")
        return redirect("desk:keys", request.collection.slug)
    context = {"form": form, "keys": queries.keys(request.collection)}
    return render(request, "desk/handover/keys.html", context, status=422 if form.errors else 200)


@require_http_methods(ASKED)
@needs(Role.TECHNICIAN)
def change_key(request: HttpRequest, key: int) -> HttpResponse:
    """It changed hands."""
    found = _key(request, key)
    before = {"opens": found.opens, "where": found.where}
    before["held_by"] = found.held_by and found.held_by.code
    form = KeyForm(request.POST or None, collection=request.collection, initial=before)
    if form.is_bound and form.is_valid():
        given = {"key": found, "by": request.membership, "now": clock.now()}
        actions.change_key(**given, **form.cleaned_data)
        return redirect("desk:keys", request.collection.slug)
    context = {"form": form, "key": found}
    return render(request, "desk/handover/key.html", context, status=422 if form.errors else 200)


@require_POST
@needs(Role.TECHNICIAN)
def drop_key(request: HttpRequest, key: int) -> HttpResponse:
    """It opens nothing any more."""
    found = _key(request, key)
    actions.drop_key(found)
    messages.success(request, f"{found.opens}: off the list.")
    return redirect("desk:keys", request.collection.slug)


def _key(request: HttpRequest, number: int) -> HeldKey:
    return get_object_or_404(queries.keys(request.collection), pk=number)


def _last_names(given: list[queries.Handed]) -> dict[str, Any]:
    return dict(given[0].event.names) if given else {}


def _who(request: HttpRequest) -> dict[str, Any]:
    return {"collection": request.collection, "member": request.membership}

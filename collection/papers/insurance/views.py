"""Pages of insurance: policies, schedules, loads, values, nights of trucks, a tour's cover."""

import secrets
from datetime import date
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.dateparse import parse_date
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core.insurance import REVIEW_YEARS
from collection.custody.whereabouts import whereabouts
from collection.papers.dossier.views import paper_answer
from collection.papers.insurance import nights as parked
from collection.papers.insurance import queries
from collection.papers.insurance import values as worth
from collection.papers.insurance.forms import NightForm, PolicyForm, ScheduleForm, ValueForm
from collection.papers.insurance.models import Policy
from collection.papers.insurance.on_tour import covers
from collection.papers.insurance.schedule import Schedule
from collection.papers.insurance.sheet import make_schedule
from collection.road import queries as road
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role

asks_and_writes = require_http_methods(["GET", "HEAD", "POST"])


def _today(request: HttpRequest) -> date:
    return clock.today(request.collection.zone_info)


def _asked_day(request: HttpRequest) -> date:
    """The day asked for, today when none or none that can be read."""
    try:
        return parse_date(request.GET.get("on", "")) or _today(request)
    except ValueError:
        return _today(request)


def _policy(request: HttpRequest, code: str) -> Policy:
    return get_object_or_404(queries.policies(request.collection), code=code)


def _page(request: HttpRequest, name: str, form, **context) -> HttpResponse:
    status = 422 if form.errors else 200
    place = f"papers/insurance/{name}.html"
    return render(request, place, context | {"form": form}, status=status)


# -- all of it -------------------------------------------------------------------------------
@needs(Role.TECHNICIAN)
@require_safe
def insurance(request: HttpRequest) -> HttpResponse:
    """Policies, what stands in each truck and place on a day, what to look at."""
    on, today = _asked_day(request), _today(request)
    known = whereabouts(request.membership)
    found = queries.overview(request.collection, known, on=on, today=today)
    plots = worth.plots(worth.histories(request.collection).values(), until=today)
    context = {"found": found, "on": on, "today": today, "plots": plots, "years": REVIEW_YEARS}
    return render(request, "papers/insurance/insurance.html", context)


# -- policies --------------------------------------------------------------------------------
@asks_and_writes
@needs(Role.TECHNICIAN)
def add_policy(request: HttpRequest) -> HttpResponse:
    """Take a policy into the register."""
    form = PolicyForm(request.POST or None, collection=request.collection)
    if form.is_bound and form.is_valid():
        made = form.keep(by=request.membership)
        return redirect("papers:choose_insured", request.collection.slug, made.code)
    return _page(request, "policy_form", form)


@asks_and_writes
@needs(Role.TECHNICIAN)
def change_policy(request: HttpRequest, policy: str) -> HttpResponse:
    """Write a policy's paper anew."""
    found = _policy(request, policy)
    form = PolicyForm(request.POST or None, collection=request.collection, policy=found)
    if form.is_bound and form.is_valid():
        form.keep(by=request.membership)
        return redirect("papers:policy", request.collection.slug, found.code)
    return _page(request, "policy_form", form, policy=found)


def _schedule(request: HttpRequest, code: str) -> Schedule:
    found, known = _policy(request, code), whereabouts(request.membership)
    on, today = _asked_day(request), _today(request)
    every = queries.schedules(request.collection, known, on=on, today=today)
    return next(one for one in every if one.policy.pk == found.pk)


@needs(Role.TECHNICIAN)
@require_safe
def policy(request: HttpRequest, policy: str) -> HttpResponse:
    """One policy with its schedule on a day."""
    page = _schedule(request, policy)
    context = {
        "page": page, "policy": page.policy, "today": _today(request),
        "once": secrets.token_hex(16),
    }  # fmt: skip
    return render(request, "papers/insurance/policy.html", context)


@require_POST
@needs(Role.TECHNICIAN)
def schedule(request: HttpRequest, policy: str) -> HttpResponse:
    """The schedule as PDF."""
    page, once = _schedule(request, policy), request.POST.get("once", "")[:64]
    pdf = make_schedule(page=page, by=request.membership, now=clock.now(), once=once)
    return paper_answer(pdf, f"schedule-{page.policy.code}-{page.on:%Y-%m-%d}.pdf")


@asks_and_writes
@needs(Role.TECHNICIAN)
def choose_insured(request: HttpRequest, policy: str) -> HttpResponse:
    """Which pieces stand under a policy."""
    found, today = _policy(request, policy), _today(request)
    held = queries.held_codes(found)
    start = {"on": max(today, found.begins_on), "codes": held}
    offered = queries.offered(request.collection, held)
    form = ScheduleForm(request.POST or None, policy=found, offered=offered, initial=start)
    if form.is_bound and form.is_valid() and (done := form.keep(by=request.membership)):
        messages.success(request, "{} put on the schedule, {} taken off.".format(*done))
        return redirect("papers:policy", request.collection.slug, found.code)
    return _page(request, "choose", form, policy=found)


# -- values ----------------------------------------------------------------------------------
def _piece(request: HttpRequest, code: str) -> Piece:
    return get_object_or_404(pieces(request.collection), code=code)


@needs(Role.TECHNICIAN)
@require_safe
def values(request: HttpRequest, code: str) -> HttpResponse:
    """What a piece was worth over time, and which policy covers it."""
    piece, today = _piece(request, code), _today(request)
    history = worth.history_of(piece)
    now = worth.value_of(piece, history)
    context = {
        "piece": piece, "history": history[::-1], "plots": worth.plots([history], until=today),
        "now": now, "old": now is not None and now.old(today), "years": REVIEW_YEARS,
        "cover": queries.cover_of(piece, on=today), "today": today,
    }  # fmt: skip
    return render(request, "papers/insurance/values.html", context)


@asks_and_writes
@needs(Role.TECHNICIAN)
def value(request: HttpRequest, code: str) -> HttpResponse:
    """Write a valuation."""
    piece, given = _piece(request, code), {"collection": request.collection}
    form = ValueForm(request.POST or None, piece=piece, member=request.membership, **given)
    if form.is_bound and form.saved() is not None:
        messages.success(request, "Valued, in the book.")
        return redirect("papers:values", request.collection.slug, piece.code)
    return _page(request, "value_form", form, piece=piece)


# -- trucks ----------------------------------------------------------------------------------
@needs(Role.TECHNICIAN)
@require_safe
def nights(request: HttpRequest) -> HttpResponse:
    """Where trucks stood overnight, against the terms."""
    every = queries.policies(request.collection)
    context = {"nights": parked.nights(request.collection, every)}
    return render(request, "papers/insurance/nights.html", context)


@asks_and_writes
@needs(Role.TECHNICIAN)
def write_night(request: HttpRequest) -> HttpResponse:
    """Write where a truck stood and how it was kept."""
    zone = ZoneInfo(parked.zone_at(request.collection, clock.now()))
    given = {"collection": request.collection, "member": request.membership}
    trucks = parked.trucks(request.collection)
    form = NightForm(request.POST or None, trucks=trucks, zone=zone, **given)
    if form.is_bound and form.saved() is not None:
        messages.success(request, "The night is in the book.")
        return redirect("papers:nights", request.collection.slug)
    return _page(request, "night_form", form, trucks=trucks, zone=zone)


# -- a tour ----------------------------------------------------------------------------------
@needs(Role.TECHNICIAN)
@require_safe
def tour_cover(request: HttpRequest, tour: str) -> HttpResponse:
    """A tour against the policies: territory, days, what travels uninsured, nights unsaid."""
    found, today = get_object_or_404(road.tour(request.collection), code=tour), _today(request)
    known, every = whereabouts(request.membership), queries.policies(request.collection)
    on = min(max(today, found.starts_on), found.ends_on)
    context = {
        "tour": found,
        "covers": covers([found], every),
        "bare": [o for o in queries.bare(request.collection, known, on=on, today=today) if o.why],
        "gaps": parked.gaps(found, today=today),
    }
    return render(request, "papers/insurance/tour.html", context)

"""The quick acts at a piece or case: moved, seen, not found."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from collection.core import cautions
from collection.core.events.moved import FREIGHT
from collection.custody import queries
from collection.custody.forms import MoveForm, NotFoundForm, PutForm, SightForm
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts, whereabouts
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event, Subject
from collection.ledger.queries import sentence_of
from registry.access.gate import needs
from registry.access.roles import Role

FIND = "find"


@needs(Role.TECHNICIAN)
def move(request: HttpRequest, code: str) -> HttpResponse:
    """It was put somewhere else: press the place."""
    people = [(p.code, str(p)) for p in queries.parties(request.collection)]
    subject = _thing(request, code)
    load = queries.load_of(subject)
    context = {
        "lifting": cautions.lifting(load.grams, weighed=load.weighed),
        "air": cautions.AIR,
        "cold": cautions.COLD,
    }
    return _put(request, subject, MoveForm, context, people=people)


@needs(Role.TECHNICIAN)
def sight(request: HttpRequest, code: str) -> HttpResponse:
    """It is here."""
    return _put(request, _thing(request, code), SightForm, {})


@needs(Role.TECHNICIAN)
def not_found(request: HttpRequest, code: str) -> HttpResponse:
    """It was looked for and not there."""
    return _put(request, _thing(request, code), NotFoundForm, {})


@needs(Role.TECHNICIAN)
@require_safe
def find_place(request: HttpRequest) -> HttpResponse:
    """Places like what is being typed, as presses."""
    known = whereabouts(request.membership)
    said = request.GET.get("q", "")[:80]
    context = {"places": _offered(request, known, said, request.GET.get("of", "")), "q": said}
    return render(request, "custody/_place_presses.html", context)


def _thing(request: HttpRequest, code: str) -> Subject:
    found = queries.movable(request.collection).select_related("state", "piece", "place_row")
    return get_object_or_404(found, code=code)


def _put(
    request: HttpRequest, subject: Subject, kind: type[PutForm], context: dict, **more: Any
) -> HttpResponse:
    known = whereabouts(request.membership)
    asked = request.method == "POST" and FIND not in request.POST
    form = kind(
        request.POST if asked else None,
        initial=None if asked else request.POST.dict(),
        collection=request.collection,
        member=request.membership,
        known=known,
        **more,
    )
    if asked and form.is_valid() and _acted(request, form, subject):
        return _back(request, subject)
    return render(
        request, "custody/put.html", {**context, **_shown(request, form, subject), "form": form}
    )


def _shown(request: HttpRequest, form: PutForm, subject: Subject) -> dict[str, Any]:
    state, known = getattr(subject, "state", None), form.known
    row = getattr(subject, "place_row", None)
    at = known.rows.get(state.place_id) if state else (row.inside if row else None)
    said = request.POST.get("q", "")
    return {
        "subject": subject,
        "thing": getattr(subject, "piece", None) or row,
        "at": at,
        "at_words": known.words(at.pk) if at else "",
        "q": said,
        "places": _offered(request, known, said, subject.code),
    }


def _offered(
    request: HttpRequest, known: Whereabouts, said: str, thing: str
) -> list[tuple[Place, str]]:
    found = (
        queries.places_like(said, known, thing)
        if said.strip()
        else queries.recent_places(request.collection, known, thing)
    )
    return [(place, known.words(place.pk)) for place in found]


def _acted(request: HttpRequest, form: PutForm, subject: Subject) -> bool:
    try:
        event = form.act(subject.code)
    except PlanRefused as refused:
        for reason in refused.reasons:
            form.add_error(None, reason)
        return False
    except LedgerError as error:
        form.add_error(None, str(error))
        return False
    messages.success(request, f"{subject.code}: {_said(event, form.known)}")
    if event.facts.get("manner") in FREIGHT:
        messages.warning(request, f"{cautions.COLD.title} It stays unproven until it is tried.")
    return True


def _said(event: Event, known: Whereabouts) -> str:
    """What was written, with the place called by its name."""
    put = event.facts.get("to") or event.facts.get("at") or ""
    place = known.by_code.get(put)
    return (
        sentence_of(event).replace(put, known.words(place.pk), 1) if place else sentence_of(event)
    )


def _back(request: HttpRequest, subject: Subject) -> HttpResponse:
    if subject.kind == "place":
        return redirect("custody:place", request.collection.slug, subject.code)
    if subject.kind == "piece":
        return redirect("desk:piece", request.collection.slug, subject.code)
    return redirect("custody:places", request.collection.slug)

"""Backups: where to start, the ranked answer, quotes, choosing, what others hold, figures."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from collection.road import actions, answer, figures, plan, queries
from collection.road.backup_forms import FiguresForm, OutsideForm, QuoteForm
from collection.road.candidates import Known
from collection.road.needs import NoNeed, current_tour
from collection.road.order_form import OrderForm
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


def _answer(request: HttpRequest, code: str) -> answer.Answer:
    """The answer for a code of the address; NoNeed says in a sentence why there is none."""
    now = clock.now()
    wanted = queries.wanted(request.collection, code, now=now)
    by = request.GET.get("by", "")
    return answer.find(request.collection, member=request.membership, now=now, by=by, **wanted)


def _chosen(request: HttpRequest, code: str, of: str) -> tuple[answer.Answer, Known]:
    """The answer and one of its candidates; 404 when either is not there."""
    try:
        found = _answer(request, code)
    except NoNeed as error:
        raise Http404(str(error)) from error
    if of not in found.known:
        raise Http404(f"Nothing that could stand in has the code {of}.")
    return found, found.known[of]


@require_safe
def start(request: HttpRequest) -> HttpResponse:
    """Pick a position of tonight, or a piece."""
    now = clock.now()
    tour = current_tour(request.collection, now=now)
    asked = request.GET.get("code", "").strip().upper()
    if asked and queries.pieces(request.collection).filter(code=asked).exists():
        return redirect("road:backup", request.collection.slug, asked)
    seen = {
        "tour": tour,
        "plan": tour and plan.rig_of(request.collection, tour, now=now, member=request.membership),
        "pieces": queries.pieces(request.collection),
        "outside": queries.outside(request.collection),
        "asked": asked,
    }
    return render(request, "road/backup_start.html", seen)


@require_safe
def backup(request: HttpRequest, code: str) -> HttpResponse:
    """What can stand in for a piece or a position, ranked, and what cannot and why."""
    if not code.isdigit():
        get_object_or_404(queries.pieces(request.collection), code=code)
    by = request.GET.get("by", "")
    try:
        seen = {"answer": _answer(request, code), "code": code, "by": by}
    except NoNeed as error:
        return render(request, "road/no_need.html", {"because": error, "code": code, "by": by})
    seen["outside"] = queries.outside(request.collection)
    return render(request, "road/backup.html", seen)


def quote(request: HttpRequest, code: str, of: str) -> HttpResponse:
    """Enter a departure and arrival that somebody gave by telephone."""
    found, known = _chosen(request, code, of)
    need = found.asked.need
    form = QuoteForm(
        request.POST or None, zone=need.at.zone, place=need.at.name, initial={"what": "road"}
    )
    if request.method == "POST" and form.is_valid():
        actions.add_quote(
            collection=request.collection, by=request.membership, to=found.asked.to,
            **known.as_quoted, **form.cleaned_data,
        )  # fmt: skip
        messages.success(request, f"{of}: what you were told counts from now on.")
        return redirect("road:backup", request.collection.slug, code)
    seen = {"form": form, "code": code, "of": of, "known": known, "answer": found}
    return render(request, "road/quote.html", seen)


def choose(request: HttpRequest, code: str, of: str) -> HttpResponse:
    """Settle on a backup: the book keeps the order; what has to travel is on the way."""
    found, known = _chosen(request, code, of)
    form = OrderForm(
        request.POST or None, answer=found, known=known,
        collection=request.collection, member=request.membership,
    )  # fmt: skip
    if form.is_bound and form.saved() is not None:
        coming = f" It is on the way as {form.shipment.code}." if form.shipment else ""
        messages.success(request, f"{of} was chosen; the order is in the book.{coming}")
        return redirect("road:backup", request.collection.slug, code)
    seen = {"form": form, "code": code, "of": of, "known": known, "answer": found}
    return render(request, "road/choose.html", seen)


def outside(request: HttpRequest) -> HttpResponse:
    """What others hold, with a telephone; add one."""
    form = OutsideForm(request.POST or None, collection=request.collection)
    if request.method == "POST" and form.is_valid():
        made = actions.add_outside_candidate(collection=request.collection, **form.cleaned_data)
        messages.success(request, f"{made.name} is on the list as {made.code}.")
        return redirect("road:outside", request.collection.slug)
    seen = {"form": form, "rows": queries.outside(request.collection)}
    return render(request, "road/outside.html", seen)


@needs(Role.TECHNICIAN)
def planning(request: HttpRequest) -> HttpResponse:
    """The planning figures, each with what its default rests on."""
    shown = figures.figures(figures.rules_of(request.collection))
    form = FiguresForm(request.POST or None, figures=shown)
    if request.method == "POST" and form.is_valid():
        actions.set_figures(collection=request.collection, changed=form.changed_figures())
        messages.success(request, "Backups are reckoned with these figures from now on.")
        return redirect("road:figures", request.collection.slug)
    return render(request, "road/figures.html", {"form": form, "figures": shown})

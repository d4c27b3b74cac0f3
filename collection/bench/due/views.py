"""Pages of service plans, and of doing what they ask."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.bench.due import actions, queries
from collection.bench.due.forms import DoneForm, PlanForm, PressForm
from collection.bench.due.models import ServicePlan
from collection.core.care import preset
from collection.ledger.queries import sentence_of
from collection.ledger.telling import tell
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role

FROM_PRESET = ("what", "family", "measured_by", "basis", "consumes", "asks", "opens",
               "after_what", "done_by")  # fmt: skip


@require_safe
def plans(request: HttpRequest) -> HttpResponse:
    """What comes round here and why so often; and what others do, with its basis."""
    today = clock.today(request.collection.zone_info)
    context = {
        "chosen": queries.chosen(request.collection),
        "presets": queries.presets(request.collection, today=today),
    }
    return render(request, "bench/plans.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def add_plan(request: HttpRequest) -> HttpResponse:
    """Choose an interval, starting from a preset or from nothing."""
    form = PlanForm(
        request.POST or None, initial=_from_preset(request), collection=request.collection
    )
    if form.is_valid():
        plan = actions.choose_plan(
            collection=request.collection, by=request.membership, **form.said()
        )
        messages.success(request, f"{plan.what}: the plan stands.")
        return redirect("bench:plans", request.collection.slug)
    return _plan_page(request, form)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def plan(request: HttpRequest, plan: int) -> HttpResponse:
    """Change a plan."""
    found = _plan(request, plan)
    form = PlanForm(request.POST or None, instance=found, collection=request.collection)
    if form.is_valid():
        actions.change_plan(plan=found, by=request.membership, **form.said())
        messages.success(request, f"{found.what}: the plan is changed.")
        return redirect("bench:plans", request.collection.slug)
    return _plan_page(request, form, found)


@require_POST
@needs(Role.TECHNICIAN)
def rest(request: HttpRequest, plan: int) -> HttpResponse:
    """Let a plan rest, or wake it."""
    found = _plan(request, plan)
    actions.rest_plan(plan=found, active=not found.active)
    said = "counts again" if found.active else "rests"
    messages.success(request, f"{found.what}: the plan {said}.")
    return redirect("bench:plans", request.collection.slug)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def done(request: HttpRequest, plan: int, code: str) -> HttpResponse:
    """What was measured or seen, with the cautions before it."""
    found = _plan(request, plan)
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    if found.recorded_as:
        return redirect("bench:record_kind", request.collection.slug, code, found.recorded_as)
    sent = request.POST if request.method == "POST" else None
    form = DoneForm(
        sent, plan=found, piece=piece, collection=request.collection, member=request.membership
    )
    if form.is_valid():
        event = actions.did_it(
            plan=found, by=request.membership, piece=piece,
            found=form.cleaned_data["found"], telling=form.telling(),
        )  # fmt: skip
        return _written(request, event, piece)
    context = {"form": form, "plan": found, "piece": piece}
    return render(request, "bench/plan_done.html", context, status=422 if sent else 200)


@require_POST
@needs(Role.TECHNICIAN)
def press(request: HttpRequest, plan: int, code: str) -> HttpResponse:
    """Done, in one press; a plan that asks for something leads to its form."""
    found = _plan(request, plan)
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    if not found.one_press:
        return redirect("bench:plan_done", request.collection.slug, found.pk, piece.code)
    form = PressForm(request.POST)
    once = form.cleaned_data["once"] if form.is_valid() else ""
    event = actions.did_it(plan=found, by=request.membership, piece=piece, telling=tell(once=once))
    return _written(request, event, piece)


def _written(request: HttpRequest, event, piece) -> HttpResponse:
    messages.success(request, f"{piece.code}, entry {event.sequence}: {sentence_of(event)}")
    return redirect("desk:due", request.collection.slug)


def _plan(request: HttpRequest, number: int) -> ServicePlan:
    return get_object_or_404(queries.plans(request.collection), pk=number)


def _from_preset(request: HttpRequest) -> dict[str, object]:
    care = preset(request.GET.get("preset", ""))
    if care is None:
        return {}
    said: dict[str, object] = {name: getattr(care, name) for name in FROM_PRESET}
    chosen = request.GET.get("every", "")
    if chosen in {str(option) for option in care.options}:
        said["every"] = chosen
    return said | {"kind": care.kinds[0] if len(care.kinds) == 1 else ""}


def _plan_page(request: HttpRequest, form: PlanForm, found=None) -> HttpResponse:
    status = 422 if form.is_bound else 200
    return render(request, "bench/plan.html", {"form": form, "plan": found}, status=status)

"""Pages of a theft's file: tasks, shops, papers."""

import secrets
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.core.notice_phrases import PHRASES
from collection.custody.incident import zone_of
from collection.custody.models import Incident
from collection.custody.queries import incidents
from collection.ledger.errors import LedgerError
from collection.papers.dossier.views import paper_answer
from collection.papers.theft import actions, queries
from collection.papers.theft.forms import DoneForm, HandForm, OpenForm, OwnTaskForm, ShopForm
from collection.papers.theft.models import TheftTask
from collection.papers.theft.papers import NoticeRefused, make_notice, make_officer
from collection.papers.theft.policy import known_of
from collection.papers.theft.scene import found_gone_at
from registry import clock
from registry.access.gate import needs
from registry.access.queries import member_names
from registry.access.roles import Role


def _incident(request: HttpRequest, code: str) -> Incident:
    return get_object_or_404(incidents(request.collection), code=code)


@needs(Role.TECHNICIAN)
@require_safe
def tasks(request: HttpRequest, incident: str) -> HttpResponse:
    """Every task with who, since when, by when; what is late stands in red."""
    return _tasks_page(request, _incident(request, incident))


def _tasks_page(request: HttpRequest, row: Incident, status: int = 200, **forms) -> HttpResponse:
    found = queries.tasks_of(row, member_names(request.collection), now=clock.now())
    known, zone = known_of(row), zone_of(row)
    context = {
        "incident": row,
        "tasks": found,
        "zone": zone,
        "known": known,
        "opening": OpenForm(initial={"abroad": known.abroad, "carnet": known.carnet}),
        "own": OwnTaskForm(zone=zone),
        **forms,
    }
    return render(request, "papers/theft/tasks.html", context, status=status)


@needs(Role.TECHNICIAN)
@require_POST
def open_tasks(request: HttpRequest, incident: str) -> HttpResponse:
    """List the tasks; asked again, what is new is added."""
    row, form = _incident(request, incident), OpenForm(request.POST)
    if not form.is_valid():
        return _tasks_page(request, row, 422, opening=form)
    asked = form.asked(known_of(row), found_gone_at(row))
    made = actions.open_tasks(incident=row, by=request.membership, asked=asked)
    messages.success(request, f"{len(made)} tasks listed.")
    return redirect("papers:theft_tasks", request.collection.slug, row.code)


@needs(Role.TECHNICIAN)
@require_POST
def add_task(request: HttpRequest, incident: str) -> HttpResponse:
    """A task that no list knows."""
    row = _incident(request, incident)
    form = OwnTaskForm(request.POST, zone=zone_of(row))
    if not form.is_valid():
        return _tasks_page(request, row, 422, own=form)
    actions.add_task(incident=row, by=request.membership, **form.cleaned_data)
    return redirect("papers:theft_tasks", request.collection.slug, row.code)


def _task(request: HttpRequest, number: int) -> tuple[TheftTask, ZoneInfo]:
    row = get_object_or_404(queries.tasks(request.collection), pk=number)
    return row, zone_of(row.incident)


@needs(Role.TECHNICIAN)
@require_safe
def task(request: HttpRequest, task: int) -> HttpResponse:
    """One task: hand it to somebody, or file what came of it."""
    return _task_page(request, *_task(request, task))


def _task_page(
    request: HttpRequest, row: TheftTask, zone: ZoneInfo, status: int = 200, **forms
) -> HttpResponse:
    hand = HandForm(initial={"whose": row.whose, "due_at": row.due_at}, zone=zone)
    names = member_names(request.collection)
    context = {
        "task": row,
        "line": queries.line_of(row, names, now=clock.now()),
        "zone": zone,
        "hand": hand,
        "done": DoneForm(),
        **forms,
    }
    return render(request, "papers/theft/task.html", context, status=status)


@needs(Role.TECHNICIAN)
@require_POST
def hand(request: HttpRequest, task: int) -> HttpResponse:
    """Who does it, and by when."""
    row, zone = _task(request, task)
    form = HandForm(request.POST, zone=zone)
    if not form.is_valid():
        return _task_page(request, row, zone, 422, hand=form)
    actions.hand_task(task=row, by=request.membership, **form.cleaned_data)
    return redirect("papers:theft_tasks", request.collection.slug, row.incident.code)


@needs(Role.TECHNICIAN)
@require_POST
def finish(request: HttpRequest, task: int) -> HttpResponse:
    """It is done, or does not apply; or was called done too early."""
    row, zone = _task(request, task)
    if "undo" in request.POST:
        actions.undo_task(task=row, by=request.membership)
        return redirect("papers:theft_task", request.collection.slug, row.pk)
    form = DoneForm(request.POST, request.FILES)
    if not form.is_valid() or not _finished(request, row, form):
        return _task_page(request, row, zone, 422, done=form)
    return redirect("papers:theft_tasks", request.collection.slug, row.incident.code)


def _finished(request: HttpRequest, row: TheftTask, form: DoneForm) -> bool:
    given = form.cleaned_data
    how = {"paper": given["paper"], "because": given["because"]}
    try:
        actions.finish_task(task=row, by=request.membership, applies=given["how"] == "done", **how)
    except LedgerError as error:
        form.add_error(None, str(error))
        return False
    return True


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def shops(request: HttpRequest) -> HttpResponse:
    """Dealers, auction houses and pawnshops, and one more."""
    form = ShopForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        made = actions.add_shop(
            collection=request.collection, by=request.membership, **form.cleaned_data
        )
        messages.success(request, f"{made}: kept.")
        return redirect("papers:shops", request.collection.slug)
    context = {"shops": queries.every_shop(request.collection), "form": form}
    return render(request, "papers/theft/shops.html", context, status=422 if form.errors else 200)


@needs(Role.TECHNICIAN)
@require_POST
def notice_pdf(request: HttpRequest, incident: str) -> HttpResponse:
    """The notice as a paper in one language, or why it cannot go out."""
    row, language = _incident(request, incident), request.POST.get("language", "")
    said = {"language": language if language in PHRASES else "en", "now": clock.now()}
    once = request.POST.get("once", "")[:64]
    try:
        pdf = make_notice(incident=row, by=request.membership, once=once, **said)
    except NoticeRefused as refused:
        context = {"incident": row, "reasons": refused.reasons}
        return render(request, "papers/theft/refused.html", context, status=422)
    return paper_answer(pdf, f"notice-{row.code}-{said['language']}.pdf")


@needs(Role.TECHNICIAN)
@require_POST
def officer_pdf(request: HttpRequest, incident: str) -> HttpResponse:
    """The officer's sheet as a paper."""
    row, once = _incident(request, incident), request.POST.get("once", "")[:64]
    pdf = make_officer(incident=row, by=request.membership, now=clock.now(), once=once)
    return paper_answer(pdf, f"officer-{row.code}.pdf")


def a_press() -> str:
    """What a form carries so that two taps make one paper."""
    return secrets.token_hex(16)

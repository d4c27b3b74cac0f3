"""The report of a night: page, paper, letter; and the list of a tour."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.desk.lined import as_pdf
from collection.desk.reports import actions, queries
from collection.desk.reports.forms import HallForm, SendForm
from collection.desk.reports.night import night_of
from collection.desk.reports.night import report as report_of
from collection.papers.dossier.views import paper_answer
from collection.road import queries as road
from collection.road.models import Show
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def reports(request: HttpRequest, tour: str) -> HttpResponse:
    """Every night of a tour."""
    found = get_object_or_404(road.tour(request.collection), code=tour)
    context = {"tour": found, "lines": queries.reports(found)}
    return render(request, "desk/reports/reports.html", context)


@require_safe
def report(request: HttpRequest, show: str) -> HttpResponse:
    """One night, with what can be typed to it and sent of it."""
    return _page(request, _show(request, show))


@require_safe
def report_paper(request: HttpRequest, show: str) -> HttpResponse:
    """The same as a paper."""
    found = _show(request, show)
    pdf = as_pdf(report_of(night_of(found)), request.collection, now=clock.now())
    return paper_answer(pdf, f"show-report-{found.number}-{found.on:%Y-%m-%d}.pdf")


@require_POST
@needs(Role.TECHNICIAN)
def report_hall(request: HttpRequest, show: str) -> HttpResponse:
    """Write a line on hall and weather."""
    found = _show(request, show)
    form = HallForm(request.POST, show=found, **_who(request))
    if form.saved() is None:
        return _page(request, found, status=422, hall=form)
    messages.success(request, "It is in the book, on this show.")
    return redirect("desk:report", request.collection.slug, found.code)


@require_POST
@needs(Role.TECHNICIAN)
def report_send(request: HttpRequest, show: str) -> HttpResponse:
    """Write the letter to whom was chosen."""
    found, form = _show(request, show), SendForm(request.POST, collection=request.collection)
    if not form.is_valid():
        return _page(request, found, status=422, send=form)
    sheet, party = report_of(night_of(found)), form.cleaned_data["party"]
    given = {"show": found, "sheet": sheet, "party": party, "by": request.membership}
    _, is_new = actions.send_report(**given, now=clock.now())
    said = "goes with the next letters" if is_new else "has this very report already"
    messages.success(request, f"{party.name} {said}." if not is_new else f"The report {said}.")
    return redirect("desk:report", request.collection.slug, found.code)


def _page(request: HttpRequest, found: Show, *, status: int = 200, **forms: Any) -> HttpResponse:
    context = {
        "show": found,
        "sheet": report_of(night_of(found)),
        "letters": queries.letters_of(found),
        "hall": HallForm(show=found, **_who(request)),
        "send": SendForm(collection=request.collection),
    }
    return render(request, "desk/reports/report.html", context | forms, status=status)


def _show(request: HttpRequest, code: str) -> Show:
    return get_object_or_404(road.shows(request.collection), code=code)


def _who(request: HttpRequest) -> dict[str, Any]:
    return {"collection": request.collection, "member": request.membership}

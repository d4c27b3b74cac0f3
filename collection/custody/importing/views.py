"""Pages of an import: send a file, say what its columns are, look, bring it in."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.catalogue.models import ImportRun
from collection.catalogue.spreadsheet.reading import TableRefused
from collection.custody.importing import actions, queries
from collection.custody.importing.forms import ColumnsForm, StartForm
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role

A_PRESS = 1_000  # pieces a press brings in, so that the page answers within seconds


@needs(Role.TECHNICIAN)
def start(request: HttpRequest) -> HttpResponse:
    """Send a file or paste its rows; below, what was brought in before."""
    is_sent = request.method == "POST"
    form = StartForm(request.POST, request.FILES) if is_sent else StartForm()
    if form.is_valid():
        data, name = form.sent()
        try:
            run = actions.start(
                collection=request.collection, by=request.membership, data=data, name=name
            )
            return redirect("importing:columns", request.collection.slug, run.pk)
        except TableRefused as refused:
            form.add_error("file" if form.cleaned_data["file"] else "pasted", refused.reason)
    context = {"form": form, "runs": queries.runs(request.collection)[:20]}
    return render(request, "custody/import_start.html", context)


@needs(Role.TECHNICIAN)
def columns(request: HttpRequest, run: int) -> HttpResponse:
    """Which column is what: proposed, for a person to change."""
    found = _run(request, run)
    if found.status == ImportRun.Status.DONE:
        return redirect("importing:done", request.collection.slug, run)
    table = queries.table_of(found)
    form = ColumnsForm(request.POST or None, table=table, mapping=queries.mapping_of(found))
    if request.method == "POST" and form.is_valid():
        actions.choose_columns(found, mapping=form.mapping())
        return redirect("importing:preview", request.collection.slug, run)
    context = {"run": found, "form": form, "table": table}
    return render(request, "custody/import_columns.html", context)


@needs(Role.TECHNICIAN)
def preview(request: HttpRequest, run: int) -> HttpResponse:
    """What the rows would become; pressed, they do."""
    found = _run(request, run)
    if found.status == ImportRun.Status.DONE:
        return redirect("importing:done", request.collection.slug, run)
    table = queries.table_of(found)
    today = clock.today(request.collection.zone_info)
    plan = queries.plan_of(found, table, today=today)
    if request.method == "POST":
        by = request.membership
        found = actions.bring_in(run=found, by=by, plan=plan, table=table, at_most=A_PRESS)
        messages.success(request, f"{found.result['pieces']} pieces are in the register.")
        return redirect("importing:preview", request.collection.slug, run)
    seen = queries.preview_of(found, plan)
    context = {"run": found, "seen": seen, "plan": plan, "at_most": A_PRESS}
    return render(request, "custody/import_preview.html", context)


@needs(Role.TECHNICIAN)
@require_POST
def discard(request: HttpRequest, run: int) -> HttpResponse:
    """Forget a file that brought nothing in."""
    actions.discard(_run(request, run))
    messages.success(request, "The file is forgotten; nothing of it was written.")
    return redirect("importing:start", request.collection.slug)


@needs(Role.TECHNICIAN)
@require_safe
def done(request: HttpRequest, run: int) -> HttpResponse:
    """What came of it: every row and cell that was not taken, every tag proposed."""
    found = _run(request, run)
    if found.status != ImportRun.Status.DONE:
        return redirect("importing:preview", request.collection.slug, run)
    return render(request, "custody/import_done.html", {"run": found, "result": found.result})


@needs(Role.TECHNICIAN)
@require_safe
def refused(request: HttpRequest, run: int) -> HttpResponse:
    """The refused rows as a file to mend and bring in again."""
    found = _run(request, run)
    response = HttpResponse(queries.refused_rows(found), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="refused-rows-{run}.csv"'
    return response


def _run(request: HttpRequest, number: int) -> ImportRun:
    return get_object_or_404(queries.runs(request.collection), pk=number)

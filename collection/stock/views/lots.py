"""Pages of lots: one with its line and history, a new one, and every act on one."""

from collections.abc import Callable
from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.catalogue.told import told_of
from collection.ledger.errors import PlanRefused
from collection.ledger.queries import questions_about
from collection.stock import actions, pages, queries
from collection.stock.flow.actions import keep_out
from collection.stock.flow.forms import KeepOutForm
from collection.stock.flow.pages import flow_page
from collection.stock.forms import lot as forms
from collection.stock.forms.catalogue import LotForm
from collection.stock.models import Lot, Part
from collection.stock.naming import naming_for
from collection.stock.records import LotCount
from collection.stock.said import say


@dataclass(frozen=True)
class Act:
    """One thing that can be done with a lot."""

    title: str
    form: type[forms.LotActForm]
    action: Callable


ACTS = {
    "receive": Act("Received", forms.ReceiveForm, actions.receive),
    "test": Act("Tested", forms.TestForm, actions.test),
    "issue": Act("Issue to a piece", forms.IssueForm, actions.issue),
    "count": Act("Counted", forms.CountForm, actions.count),
    "write-off": Act("Write off", forms.WriteOffForm, actions.write_off),
    "found": Act("Found again", forms.FindAgainForm, actions.find_again),
    "keep-out": Act("Keep out", KeepOutForm, keep_out),
}


@require_safe
def lot(request: HttpRequest, lot: str) -> HttpResponse:
    """One lot: where its units are, and how they came there."""
    found = queries.lot_named(request.collection, lot)
    counted, naming = queries.count_of(found), naming_for(request.membership)
    context = pages.lot_line(counted) | {
        "acts": [(name, act.title) for name, act in ACTS.items()],
        "lines": told_of(found.subject, request.membership, naming=naming),
        "where": naming(found.place.code) if found.place else "",
        "questions": questions_about(found.subject),
        "parts": queries.parts_of(found),
        "unit": "set" if found.in_sets else found.type.noun,
    }
    return render(request, "stock/lot.html", context | flow_page(found, request.GET, naming))


@require_http_methods(["GET", "HEAD", "POST"])
def add_lot(request: HttpRequest, type: str) -> HttpResponse:
    """A new lot of a type."""
    kind = queries.type_named(request.collection, type)
    form = LotForm(request.POST or None, collection=request.collection, member=request.membership)
    if request.method == "POST" and form.is_valid():
        taken = queries.code_taken(request.collection, form.cleaned_data["code"])
        if not taken:
            made = actions.add_lot(
                collection=request.collection, by=request.membership, type=kind,
                telling=form.telling(), **form.described(),
            )  # fmt: skip
            return redirect("stock:act", request.collection.slug, made.code, "receive")
        form.add_error("code", f"{form.cleaned_data['code']} already means a {taken} here.")
    context = {"form": form, "type": kind, "title": f"A new lot of {kind.code}"}
    return render(request, "stock/lot_form.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def act(request: HttpRequest, lot: str, act: str) -> HttpResponse:
    """Record one act on a lot; what contradicts the book is written and asked about."""
    found = queries.lot_named(request.collection, lot)
    if act not in ACTS:
        raise Http404("Nothing of that name is done with a lot.")
    doing, counted = ACTS[act], queries.count_of(found)
    form = _form(request, doing, counted)
    if request.method == "POST" and form.is_valid() and _written(request, doing, form, found):
        return redirect("stock:lot", request.collection.slug, found.code)
    context = pages.lot_line(counted) | {"form": form, "title": doing.title, "act": act}
    context["unit"] = "set" if found.in_sets else found.type.noun
    return render(request, "stock/act.html", context, status=422 if form.errors else 200)


def _written(request: HttpRequest, doing: Act, form: forms.LotActForm, lot: Lot) -> bool:
    """Whether it was written; what speaks against a plan stands on the form."""
    try:
        made = doing.action(
            collection=request.collection, by=request.membership, lot=lot,
            telling=form.telling(), **form.act(),
        )  # fmt: skip
    except PlanRefused as why:
        form.refused(why)  # only issuing plans anything
    else:
        say(request, queries.newest_entry(made) if isinstance(made, Part) else made)
    return not form.errors


def _form(request: HttpRequest, doing: Act, counted: LotCount) -> forms.LotActForm:
    given = {"collection": request.collection, "member": request.membership, "held": counted}
    given["grades"] = queries.grades_for(request.collection, counted.lot.type)
    if doing.form in (forms.IssueForm, KeepOutForm):
        given["pieces"] = queries.pieces_to_fit(request.collection)
    return doing.form(request.POST or None, **given)

"""Pages of ways to make a stock last: side by side, kept as plans, then and now."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.stock.asked import Refused
from collection.stock.views.types import prospect_of
from collection.stock.ways import actions, pages, queries
from collection.stock.ways.forms import KeepForm, WayForm
from registry import clock
from registry.access.queries import member_names


def _form(request: HttpRequest, prospect, given) -> WayForm:
    return WayForm(given or None, prospect=prospect, currency=request.collection.currency)


@require_safe
def ways(request: HttpRequest, type: str) -> HttpResponse:
    """What would help, side by side, and a way put together by hand."""
    prospect = prospect_of(request, type)
    form = _form(request, prospect, request.GET)
    plans = queries.plans_of(request.collection, prospect.stock)
    names = member_names(request.collection)
    return render(request, "stock/ways.html", pages.ways_page(prospect, form, plans, names))


@require_POST
def keep_plan(request: HttpRequest, type: str) -> HttpResponse:
    """Keep a way under a name, with the figures of today."""
    prospect = prospect_of(request, type)
    form, keep = _form(request, prospect, request.POST), KeepForm(request.POST)
    if form.is_valid() and keep.is_valid():
        try:
            plan = actions.keep_plan(
                prospect=prospect, by=request.membership, way=form.way, now=clock.now(),
                **keep.cleaned_data,
            )  # fmt: skip
            return redirect("stock:plan", request.collection.slug, plan.pk)
        except (Refused, actions.NameTaken) as refused:
            keep.add_error("name", str(refused))
    plans = queries.plans_of(request.collection, prospect.stock)
    context = pages.ways_page(prospect, form, plans, member_names(request.collection), keep=keep)
    return render(request, "stock/ways.html", context, status=422)


@require_safe
def plan(request: HttpRequest, thrift: int) -> HttpResponse:
    """A kept plan as it was meant, and what has happened since."""
    found = queries.plan_named(request.collection, thrift)
    prospect = prospect_of(request, found.type.code)
    came = queries.received_since(request.collection, prospect.stock, found.made_at)
    names = member_names(request.collection)
    context = pages.plan_page(found, prospect, now=clock.now(), received=came, names=names)
    return render(request, "stock/plan.html", context)

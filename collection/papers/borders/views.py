"""Pages of borders: a tour's carnet, its list, list and truck, crossings and their stamps."""

import secrets

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.core.border import AFTERWARDS
from collection.core.customs import RULES_AS_OF
from collection.custody.whereabouts import whereabouts
from collection.ledger.errors import LedgerError
from collection.papers.borders import actions, queries
from collection.papers.borders.forms import (
    CarnetForm,
    CrossForm,
    GoodsForm,
    IssueForm,
    PutRightForm,
)
from collection.papers.borders.sheet import make_list
from collection.papers.dossier.views import paper_answer
from collection.road import queries as road
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role

asks_and_writes = require_http_methods(["GET", "HEAD", "POST"])


@needs(Role.TECHNICIAN)
@require_safe
def borders(request: HttpRequest) -> HttpResponse:
    """Tours with a carnet, and crossings that are not stamped."""
    found = queries.tours_with_borders(request.collection)
    open_ones = queries.unstamped(request.collection)
    context = {"tours": found, "unstamped": open_ones, "afterwards": AFTERWARDS}
    return render(request, "papers/borders/borders.html", context)


@needs(Role.TECHNICIAN)
@require_safe
def border(request: HttpRequest, tour: str) -> HttpResponse:
    """One tour: its carnet, list, findings, crossings, what must not be forgotten."""
    return _page(request, _borders(request, tour))


def _page(request: HttpRequest, page: queries.Borders, **more) -> HttpResponse:
    form = more.pop("goods_form", None) or GoodsForm()
    context = {
        "page": page, "tour": page.tour, "carnet": page.carnet, "goods_form": form,
        "alarm": queries.alarm(page.tour, today=page.today, always=True),
        "afterwards": AFTERWARDS, "as_of": RULES_AS_OF, "once": secrets.token_hex(16),
    }  # fmt: skip
    status = 422 if form.errors else 200
    return render(request, "papers/borders/border.html", context, status=status)


def _borders(request: HttpRequest, tour: str) -> queries.Borders:
    found = get_object_or_404(road.tour(request.collection), code=tour)
    today = clock.today(request.collection.zone_info)
    return queries.borders(found, whereabouts(request.membership), today=today)


def _issuable(request: HttpRequest, tour: str) -> queries.Borders:
    page = _borders(request, tour)
    if page.carnet is None:
        messages.error(request, "There is no carnet for this tour yet.")
    return page


@asks_and_writes
@needs(Role.TECHNICIAN)
def carnet(request: HttpRequest, tour: str) -> HttpResponse:
    """What stands on the carnet's cover."""
    page = _borders(request, tour)
    names = ("number", "chamber", "holder", "traveller", "home", "currency")
    known = {name: getattr(page.carnet, name) for name in names} if page.carnet else {}
    start = {"currency": request.collection.currency} | known
    form = CarnetForm(request.POST or None, initial=start)
    if request.method == "POST" and form.is_valid():
        try:
            form.keep(tour=page.tour, by=request.membership)
            return redirect("papers:border", request.collection.slug, page.tour.code)
        except LedgerError as refused:
            form.add_error(None, str(refused))
    context = {"form": form, "page": page, "tour": page.tour}
    status = 422 if form.errors else 200
    return render(request, "papers/borders/carnet.html", context, status=status)


@require_POST
@needs(Role.TECHNICIAN)
def choose(request: HttpRequest, tour: str) -> HttpResponse:
    """Which travelling pieces stand on the list."""
    page = _issuable(request, tour)
    if page.carnet is not None:
        _said(request, actions.choose, carnet=page.carnet, codes=request.POST.getlist("codes"))
    return redirect("papers:border", request.collection.slug, page.tour.code)


@require_POST
@needs(Role.TECHNICIAN)
def list_goods(request: HttpRequest, tour: str) -> HttpResponse:
    """Put cables, tools or other goods without a code on the list."""
    page, form = _issuable(request, tour), GoodsForm(request.POST)
    if page.carnet is not None and not form.is_valid():
        return _page(request, page, goods_form=form)
    if page.carnet is not None:
        _said(request, actions.list_goods, carnet=page.carnet, **form.facts())
    return redirect("papers:border", request.collection.slug, page.tour.code)


@require_POST
@needs(Role.TECHNICIAN)
def strike_goods(request: HttpRequest, tour: str, goods: int) -> HttpResponse:
    """Take goods without a code off the list."""
    found = get_object_or_404(road.tour(request.collection), code=tour)
    row = get_object_or_404(queries.listed_goods(found), pk=goods)
    _said(request, actions.strike_goods, row=row)
    return redirect("papers:border", request.collection.slug, found.code)


def _said(request: HttpRequest, act, **given) -> None:
    """Do it, or say in words why not."""
    try:
        act(by=request.membership, **given)
    except LedgerError as refused:
        messages.error(request, str(refused))


@asks_and_writes
@needs(Role.TECHNICIAN)
def issue(request: HttpRequest, tour: str) -> HttpResponse:
    """The chamber has issued it: the list is frozen."""
    page = _issuable(request, tour)
    if page.carnet is None or page.carnet.issued:
        return redirect("papers:border", request.collection.slug, page.tour.code)
    form = IssueForm(
        request.POST or None, page=page, collection=request.collection, member=request.membership
    )
    if form.is_bound and form.saved() is not None:
        messages.success(request, "Issued: the list is closed, and that is in the book.")
        return redirect("papers:border", request.collection.slug, page.tour.code)
    context = {"form": form, "page": page, "tour": page.tour}
    status = 422 if form.errors else 200
    return render(request, "papers/borders/issue.html", context, status=status)


@require_POST
@needs(Role.TECHNICIAN)
def goods_list(request: HttpRequest, tour: str) -> HttpResponse:
    """The list of goods as PDF."""
    page = _issuable(request, tour)
    if page.carnet is None:
        return redirect("papers:border", request.collection.slug, page.tour.code)
    once = request.POST.get("once", "")[:64]
    pdf = make_list(page=page, by=request.membership, now=clock.now(), once=once)
    return paper_answer(pdf, f"goods-{page.carnet.code}-{page.today:%Y-%m-%d}.pdf")


@needs(Role.TECHNICIAN)
@require_safe
def truck(request: HttpRequest, tour: str) -> HttpResponse:
    """List and truck, side by side, before a border."""
    page = _borders(request, tour)
    alarm = queries.alarm(page.tour, today=page.today, always=True)
    context = {"page": page, "tour": page.tour, "truck": queries.truck(page), "alarm": alarm}
    return render(request, "papers/borders/truck.html", context | {"afterwards": AFTERWARDS})


@asks_and_writes
@needs(Role.TECHNICIAN)
def cross(request: HttpRequest, tour: str) -> HttpResponse:
    """Write down a crossing."""
    page = _issuable(request, tour)
    if page.carnet is None:
        return redirect("papers:border", request.collection.slug, page.tour.code)
    given = {"collection": request.collection, "member": request.membership}
    bound = (request.POST, request.FILES) if request.method == "POST" else ()
    form = CrossForm(*bound, carnet=page.carnet, today=page.today, **given)
    if form.is_bound and (made := form.saved()) is not None:
        stamp = "stamped" if made.stamped else "NOT stamped"
        messages.success(request, f"{made.place}: {stamp}, in the book.")
        return redirect("papers:border", request.collection.slug, page.tour.code)
    context = {"form": form, "page": page, "tour": page.tour}
    status = 422 if form.errors else 200
    return render(request, "papers/borders/cross.html", context, status=status)


@asks_and_writes
@needs(Role.TECHNICIAN)
def put_right(request: HttpRequest, crossing: int) -> HttpResponse:
    """A missing stamp has been put right."""
    found = get_object_or_404(queries.crossings(request.collection), pk=crossing)
    today = clock.today(request.collection.zone_info)
    form = PutRightForm(
        request.POST or None, crossing=found, initial={"on": today},
        collection=request.collection, member=request.membership,
    )  # fmt: skip
    if form.is_bound and form.saved() is not None:
        messages.success(request, "Put right, in the book.")
        return redirect("papers:border", request.collection.slug, found.carnet.tour.code)
    context = {"form": form, "crossing": found, "tour": found.carnet.tour}
    context["afterwards"] = AFTERWARDS
    status = 422 if form.errors else 200
    return render(request, "papers/borders/put_right.html", context, status=status)

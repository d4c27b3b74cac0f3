"""Pages of parts in positions."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from collection.catalogue.models import Piece
from collection.ledger.errors import PlanRefused
from collection.stock.queries import grades_for, piece_named
from collection.stock.said import say
from collection.stock.sockets import actions, donor, forms, queries, reread
from collection.stock.sockets.chart import chart_of
from collection.stock.sockets.check import SayWhy
from registry.access.gate import needs
from registry.access.roles import Role

GET_AND_POST = ["GET", "HEAD", "POST"]


def _asks(request: HttpRequest) -> dict[str, Any]:
    return {"collection": request.collection, "member": request.membership}


def _who(request: HttpRequest) -> dict[str, Any]:
    return {"collection": request.collection, "by": request.membership}


def _page(request: HttpRequest, form, piece: Piece, **shown: Any) -> HttpResponse:
    shown |= {"form": form, "piece": piece, "volts": queries.has_high_voltage(piece)}
    status = 422 if form.errors else 200
    return render(request, shown.pop("template", "stock/sockets/form.html"), shown, status=status)


@require_http_methods(GET_AND_POST)
@needs(Role.TECHNICIAN)
def fit(request: HttpRequest, code: str) -> HttpResponse:
    """A part goes into a position of a piece, or was found in it."""
    piece = piece_named(request.collection, code)
    chart = chart_of(piece)
    form = forms.FitForm(
        request.POST or None, **_asks(request), chart=chart,
        grades=grades_for(request.collection, *chart.types),
        parts=queries.loose_parts(request.collection), types=queries.types(request.collection),
        initial={"position": request.GET.get("position", "")},
    )  # fmt: skip
    if request.method == "POST" and form.is_valid() and _fitted(request, form, piece):
        return redirect("desk:piece", request.collection.slug, piece.code)
    return _page(request, form, piece, title="Fit a part", small="checked before it goes in")


def _fitted(request: HttpRequest, form: forms.FitForm, piece: Piece) -> bool:
    """Whether it was written; why not stands on the form."""
    part = form.cleaned_data["part"]
    new = None if part else form.new_part()
    try:
        event = actions.fit_known_or_new(
            **_who(request), piece=piece, part=part, new=new, telling=form.telling(), **form.act()
        )
    except SayWhy as risky:
        for reason in risky.reasons:
            form.add_error("because", reason)
    except PlanRefused as refused:
        for reason in refused.reasons:
            form.add_error("part", reason)
    else:
        say(request, event)
    return not form.errors


@require_http_methods(GET_AND_POST)
@needs(Role.TECHNICIAN)
def take_out(request: HttpRequest, part: str) -> HttpResponse:
    """A part comes out of its piece and goes somewhere."""
    found = get_object_or_404(queries.parts(request.collection), code=part)
    where = get_object_or_404(
        queries.pieces_to_fit(request.collection), code=queries.state_of(found).fitted_in
    )
    grades = grades_for(request.collection, found.type)
    form = forms.TakeOutForm(request.POST or None, **_asks(request), grades=grades)
    if request.method == "POST" and form.is_valid():
        event = actions.take_out(
            **_who(request), piece=where.code, part=found, telling=form.telling(), **form.act()
        )
        say(request, event)
        return redirect("stock:part", request.collection.slug, found.code)
    return _page(request, form, where, title="Take it out", part=found)


@require_http_methods(GET_AND_POST)
@needs(Role.TECHNICIAN)
def strip(request: HttpRequest, code: str) -> HttpResponse:
    """A part out of a donor and into another piece, in one act."""
    piece = piece_named(request.collection, code)
    form = forms.StripForm(
        request.POST or None, **_asks(request), parts=queries.parts_in(piece),
        types=queries.types(request.collection), pieces=queries.other_pieces(piece),
        fitted=queries.fitted_elsewhere(piece),
    )  # fmt: skip
    if request.method == "POST" and form.is_valid():
        event = donor.strip_one(**_who(request), donor=piece, telling=form.telling(), **form.act())
        say(request, event)
        return redirect("desk:piece", request.collection.slug, piece.code)
    return _page(request, form, piece, title="Donor", small="both histories in one act")


@require_http_methods(GET_AND_POST)
@needs(Role.TECHNICIAN)
def read_again(request: HttpRequest, code: str) -> HttpResponse:
    """The sockets one by one: as in the book, another, unknown, empty."""
    piece = piece_named(request.collection, code)
    form = forms.RereadForm(
        request.POST or None, **_asks(request), chart=chart_of(piece),
        types=queries.types(request.collection), parts=queries.parts(request.collection),
    )  # fmt: skip
    if request.method == "POST" and form.is_valid():
        event = reread.read_again(
            **_who(request), piece=piece, seen=form.seen(), telling=form.telling()
        )
        say(request, event)
        return redirect("desk:piece", request.collection.slug, piece.code)
    return _page(request, form, piece, title="Sockets", template="stock/sockets/read_again.html")

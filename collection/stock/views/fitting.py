"""Pages of parts in a piece: a set changed in one act, a part pulled, a part that died."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.catalogue.models import Piece
from collection.ledger.errors import PlanRefused
from collection.stock import actions, queries
from collection.stock.fitting import Socket, socket_of
from collection.stock.forms.fitting import ChangeForm, DieForm, PullForm
from collection.stock.sockets import queries as sockets


@require_safe
def part(request: HttpRequest, part: str) -> HttpResponse:
    """One part or set with a code: where it is, its hours, its history."""
    found = queries.part_named(request.collection, part)
    shelf = queries.shelf(request.collection)
    context = queries.part_with_hours(shelf, found) | {"lines": sockets.history_of(found)}
    context |= sockets.hours_of(found) | {"mates": sockets.mates_of(found)}
    return render(request, "stock/part.html", context)


def _form_of_socket(request: HttpRequest, socket: Socket) -> ChangeForm:
    return ChangeForm(
        request.POST or None,
        collection=request.collection,
        member=request.membership,
        sets=socket.sets,
        has_old=socket.fitted is not None,
        hours=socket.life.hours if socket.life else None,
    )


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: HttpRequest, code: str, position: str) -> HttpResponse:
    """Old set out, new set in, as one act, with the cautions where the hand goes in."""
    piece = queries.piece_named(request.collection, code)
    socket = socket_of(queries.shelf(request.collection), code, position)
    form = _form_of_socket(request, socket)
    if request.method == "POST" and form.is_valid() and _changed(request, form, piece, socket):
        then = "bench:measure" if socket.read_next else "desk:piece"
        return redirect(then, request.collection.slug, piece.code)
    context = {"form": form, "piece": piece, "socket": socket}
    return render(request, "stock/change.html", context, status=422 if form.errors else 200)


def _changed(request: HttpRequest, form: ChangeForm, piece: Piece, socket: Socket) -> bool:
    """Whether it was written; what speaks against the new set stands on the form."""
    try:
        actions.change(
            collection=request.collection, by=request.membership, piece=piece,
            position=socket.position, out=socket.fitted, telling=form.telling(), **form.act(),
        )  # fmt: skip
    except PlanRefused as why:
        form.refused(why)
    return not form.errors


@require_http_methods(["GET", "HEAD", "POST"])
def pull(request: HttpRequest, part: str) -> HttpResponse:
    """A part comes out while still good."""
    return _taken_out(request, part, PullForm, actions.pull, "Pulled")


@require_http_methods(["GET", "HEAD", "POST"])
def die(request: HttpRequest, part: str) -> HttpResponse:
    """A part failed where it was fitted."""
    return _taken_out(request, part, DieForm, actions.die, "Died in use")


def _taken_out(request: HttpRequest, code: str, form_class, action, title: str) -> HttpResponse:
    found = queries.part_named(request.collection, code)
    form = form_class(
        request.POST or None, collection=request.collection, member=request.membership
    )
    if request.method == "POST" and form.is_valid():
        action(
            collection=request.collection, by=request.membership, part=found,
            telling=form.telling(), **form.act(),
        )  # fmt: skip
        return redirect("stock:part", request.collection.slug, found.code)
    shelf = queries.shelf(request.collection)
    context = queries.part_with_hours(shelf, found) | {"form": form, "title": title}
    return render(request, "stock/take_out.html", context, status=422 if form.errors else 200)

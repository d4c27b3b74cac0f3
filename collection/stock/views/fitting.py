"""Pages of parts in a piece: a set changed in one act, a part pulled, a part that died."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods, require_safe

from collection.catalogue.models import Piece
from collection.ledger.errors import PlanRefused
from collection.stock import actions, queries
from collection.stock.fitting import Socket, socket_of
from collection.stock.forms.fitting import ChangeForm, DieForm, PullForm
from collection.stock.models import Part
from collection.stock.naming import naming_for
from collection.stock.said import say
from collection.stock.sockets import queries as sockets


@require_safe
def part(request: HttpRequest, part: str) -> HttpResponse:
    """One part or set with a code: where it is, its hours, its history."""
    found = queries.part_named(request.collection, part)
    shelf = queries.shelf(request.collection)
    lines = sockets.history_of(found, naming_for(request.membership))
    context = queries.part_with_hours(shelf, found) | {"lines": lines}
    context |= sockets.hours_of(found) | {"mates": sockets.mates_of(found)}
    return render(request, "stock/part.html", context)


def _grades_of(request: HttpRequest, part: Part | None) -> tuple[str, ...]:
    return queries.grades_for(request.collection, part.type) if part else ()


def _form_of_socket(request: HttpRequest, socket: Socket) -> ChangeForm:
    return ChangeForm(
        request.POST or None,
        collection=request.collection,
        member=request.membership,
        sets=socket.sets,
        hours=socket.life.hours if socket.life else None,
        grades=_grades_of(request, socket.fitted),
    )


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: HttpRequest, code: str, position: str) -> HttpResponse:
    """Old set out, new set in, as one act, with the cautions where the hand goes in."""
    piece = queries.piece_named(request.collection, code)
    socket = socket_of(queries.shelf(request.collection), code, position)
    if socket.fitted and socket.fitted.lot is None:  # no lot's line has it: fitted part by part
        fit = reverse("sockets:fit", args=[request.collection.slug, piece.code])
        return redirect(f"{fit}?{urlencode({'position': position})}")
    form = _form_of_socket(request, socket)
    if request.method == "POST" and form.is_valid() and _changed(request, form, piece, socket):
        then = "bench:measure" if socket.read_next else "desk:piece"
        return redirect(then, request.collection.slug, piece.code)
    context = {"form": form, "piece": piece, "socket": socket}
    return render(request, "stock/change.html", context, status=422 if form.errors else 200)


def _changed(request: HttpRequest, form: ChangeForm, piece: Piece, socket: Socket) -> bool:
    """Whether it was written; what speaks against the new set stands on the form."""
    try:
        new = actions.change(
            collection=request.collection, by=request.membership, piece=piece,
            position=socket.position, out=socket.fitted, telling=form.telling(), **form.act(),
        )  # fmt: skip
    except PlanRefused as why:
        form.refused(why)
    else:
        say(request, queries.newest_entry(new))
    return not form.errors


@require_http_methods(["GET", "HEAD", "POST"])
def pull(request: HttpRequest, part: str) -> HttpResponse:
    """A part comes out while still good."""
    found = queries.part_named(request.collection, part)
    grades = _grades_of(request, found)
    return _taken_out(request, found, PullForm, actions.pull, title="Pulled", grades=grades)


@require_http_methods(["GET", "HEAD", "POST"])
def die(request: HttpRequest, part: str) -> HttpResponse:
    """A part failed where it was fitted."""
    found = queries.part_named(request.collection, part)
    return _taken_out(request, found, DieForm, actions.die, title="Died in use")


def _taken_out(
    request: HttpRequest, found: Part, form_class, action, *, title: str, **asks
) -> HttpResponse:
    if found.lot is None:  # its units are in no lot's line: 'take it out' says where it goes
        return redirect("sockets:take_out", request.collection.slug, found.code)
    who = {"collection": request.collection, "member": request.membership}
    form = form_class(request.POST or None, **who, **asks)
    if request.method == "POST" and form.is_valid():
        event = action(
            collection=request.collection, by=request.membership, part=found,
            telling=form.telling(), **form.act(),
        )  # fmt: skip
        say(request, event)
        return redirect("stock:part", request.collection.slug, found.code)
    shelf = queries.shelf(request.collection)
    context = queries.part_with_hours(shelf, found) | {"form": form, "title": title}
    return render(request, "stock/take_out.html", context, status=422 if form.errors else 200)

"""Pages of a load-out for members: counting, closing, links, the walk."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.ledger.errors import LedgerError
from collection.road import queries as road
from collection.road.doors import actions, expected, queries
from collection.road.doors.forms import CloseForm, ShareForm, StartForm, TapForm, WalkForm
from collection.road.doors.links import qr_of
from collection.road.doors.models import DoorCount
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role
from registry.access.sharing import revoke


@require_http_methods(["GET", "HEAD", "POST"])
def doors(request: HttpRequest, show: str) -> HttpResponse:
    """The counts of a show, and starting one."""
    found = get_object_or_404(road.shows(request.collection), code=show)
    form = StartForm(request.POST or None, show=found)
    if request.method == "POST" and form.is_valid():
        told = {"by": request.membership, "now": clock.now()}
        try:
            made = actions.start(show=found, **form.cleaned_data, **told)
            return redirect("road:door_count", request.collection.slug, show, made.number)
        except LedgerError as refused:
            form.add_error("truck", str(refused))
    counts = [queries.board(one) for one in queries.counts(request.collection).filter(show=found)]
    context = {"show": found, "form": form, "boards": counts}
    status = 422 if form.is_bound else 200
    return render(request, "road/doors/doors.html", context, status=status)


@never_cache
@require_safe
def count(request: HttpRequest, show: str, number: int) -> HttpResponse:
    """One count: its tiles, what is out of its case, closing, links."""
    return _page(request, _count(request, show, number))


@never_cache
@require_safe
def tiles(request: HttpRequest, show: str, number: int) -> HttpResponse:
    """The tiles alone, as other phones have left them."""
    context = _board(request, _count(request, show, number))
    return render(request, "road/doors/_board.html", context)


@require_POST
@needs(Role.TECHNICIAN)
def tap(request: HttpRequest, show: str, number: int) -> HttpResponse:
    """A tile is counted, or open again."""
    found, form = _count(request, show, number), TapForm(request.POST)
    refused = tapped(found, form, request.membership)
    if request.htmx:
        context = _board(request, found) | {"refused": refused}
        return render(request, "road/doors/_board.html", context)
    if refused:
        messages.error(request, refused)
    return redirect("road:door_count", request.collection.slug, show, number)


def tapped(count: DoorCount, form: TapForm, by: actions.Counter) -> str:
    """Write a tap; the sentence why not, '' when it is written."""
    if not form.is_valid():
        return "That tap could not be read."
    act = actions.undo if form.cleaned_data["undo"] else actions.tap
    try:
        act(count=count, code=form.cleaned_data["code"], by=by, now=clock.now())
    except LedgerError as refused:
        return str(refused)
    return ""


@require_POST
@needs(Role.TECHNICIAN)
def close(request: HttpRequest, show: str, number: int) -> HttpResponse:
    """Close the count."""
    found = _count(request, show, number)
    form = CloseForm(request.POST, count=found)
    if not form.is_valid():
        return _page(request, found, close_form=form, status=422)
    told = {"by": request.membership, "now": clock.now()}
    closed = actions.close(count=found, **told, **form.cleaned_data)
    said = queries.board(closed).tally.sentence()
    messages.success(request, f"Closed: {said}. In the book.")
    return redirect("road:door_count", request.collection.slug, show, number)


@never_cache
@require_POST
@needs(Role.TECHNICIAN)
def share(request: HttpRequest, show: str, number: int) -> HttpResponse:
    """Make a link to this count; it is shown once."""
    found, form = _count(request, show, number), ShareForm(request.POST)
    if not form.is_valid():
        return _page(request, found, share_form=form, status=422)
    told = {"by": request.membership, "now": clock.now()}
    try:
        link, token = actions.share(count=found, **told, **form.cleaned_data)
    except LedgerError as refused:
        messages.error(request, str(refused))
        return redirect("road:door_count", request.collection.slug, show, number)
    address = request.build_absolute_uri(reverse("doors:count", args=[token]))
    return _page(request, found, made=link, address=address, qr=qr_of(address))


@require_POST
@needs(Role.TECHNICIAN)
def unshare(request: HttpRequest, show: str, number: int, share: int) -> HttpResponse:
    """Take a link back: it opens nothing any more."""
    links = queries.links_of(_count(request, show, number))
    link = revoke(get_object_or_404(links, pk=share), now=clock.now())
    messages.success(request, f"The link for {link.label} opens nothing any more.")
    return redirect("road:door_count", request.collection.slug, show, number)


@require_http_methods(["GET", "HEAD", "POST"])
def walk(request: HttpRequest, show: str) -> HttpResponse:
    """The walk of the stage before leaving; a press a place."""
    found = get_object_or_404(road.shows(request.collection), code=show)
    if request.method == "POST":
        spot = request.POST.get("spot", "")
        try:
            if "undo" in request.POST:
                actions.untick(show=found, spot=spot)
            else:
                actions.tick(show=found, spot=spot, by=request.membership, now=clock.now())
        except LedgerError as refused:
            messages.error(request, str(refused))
        return redirect("road:walk", request.collection.slug, show)
    context = {"show": found, "spots": queries.walked(found)}
    return render(request, "road/doors/walk.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def walk_list(request: HttpRequest) -> HttpResponse:
    """Where this collection looks before it leaves."""
    start = {"spots": queries.spots(request.collection)}
    form = WalkForm(request.POST if request.method == "POST" else None, initial=start)
    if form.is_bound and form.is_valid():
        actions.set_walk(collection=request.collection, **form.cleaned_data)
        messages.success(request, "The walk of the stage is kept.")
        return redirect("road:tours", request.collection.slug)
    status = 422 if form.is_bound else 200
    return render(request, "road/doors/walk_list.html", {"form": form}, status=status)


def _count(request: HttpRequest, show: str, number: int) -> DoorCount:
    found = queries.counts(request.collection).filter(show__code=show)
    return get_object_or_404(found, number=number)


def _board(request: HttpRequest, count: DoorCount) -> dict[str, object]:
    at = (request.collection.slug, count.show.code, count.number)
    return {
        "board": queries.board(count),
        "may_tap": request.membership.records and not count.closed_at,
        "tap_at": reverse("road:door_tap", args=at),
        "tiles_at": reverse("road:door_tiles", args=at),
    }


def _page(
    request: HttpRequest, count: DoorCount, *, status: int = 200, **more: object
) -> HttpResponse:
    board = _board(request, count)
    since = queries.found_since(count, board["board"].missing) if count.closed_at else ()
    context = board | {
        "count": count,
        "since": since,
        "load": expected.load_of(count.show, count.truck),
        "links": queries.links_of(count) if request.membership.records else (),
        "close_form": CloseForm(count=count),
        "share_form": ShareForm(),
        "now": clock.now(),
    }
    return render(request, "road/doors/count.html", context | more, status=status)

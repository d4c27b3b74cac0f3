"""What is due, and a member's calendar address."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.custody.stocktake import reading as stocktakes
from collection.desk import due as queries
from collection.desk import feed
from collection.desk.actions import renew_calendar
from registry import clock
from registry.access.gate import needs, outside_collections
from registry.access.models import ShareLink
from registry.access.queries import members_of
from registry.access.roles import Role
from registry.access.sharing import (
    TooOften,
    revoke,
    shared,
    shares_of,
    standing_member,
    use,
)

CALENDAR = ShareLink.Purpose.CALENDAR


@never_cache
@require_safe
def due(request: HttpRequest) -> HttpResponse:
    """The due list as a bench log; nothing of it is red before doors."""
    today = clock.today(request.collection.zone_info)
    board = queries.board(request.collection, today=today)
    context = {"board": board, "today": today}
    context |= stocktakes.beside_due_work(request.membership)
    return render(request, "desk/due.html", context)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.VIEWER)
def calendar(request: HttpRequest) -> HttpResponse:
    """The calendar addresses this member may see, and a press for a new one of their own."""
    if request.method != "POST":
        return _page(request)
    link, token = renew_calendar(by=request.membership, now=clock.now())
    address = request.build_absolute_uri(reverse("calendar:feed", args=[token]))
    return _page(request, made=link, address=address)


@require_POST
@needs(Role.VIEWER)
def end_calendar(request: HttpRequest, share: int) -> HttpResponse:
    """Take a calendar address back: one's own, or as a keeper anybody's."""
    link = get_object_or_404(_links(request), pk=share)
    revoke(link, now=clock.now())
    messages.success(request, f"The calendar address of {link.label} opens nothing any more.")
    return redirect("desk:calendar", request.collection.slug)


@outside_collections
@never_cache
@require_safe
def calendar_feed(request: HttpRequest, token: str) -> HttpResponse:
    """The calendar of one member: shows and due work, nothing else."""
    now = clock.now()
    link = shared(token, purpose=CALENDAR, now=now)
    if link is None or standing_member(link) is None:
        return HttpResponse("This calendar address opens nothing.\n", "text/plain", status=410)
    try:
        use(link, now=now)
    except TooOften as often:
        return HttpResponse(f"{often}\n", "text/plain", status=429)
    answer = HttpResponse(feed.calendar(link.collection, now=now), feed.CONTENT_TYPE)
    answer["X-Robots-Tag"] = "noindex, nofollow"
    return answer


def _links(request: HttpRequest):
    own = request.membership
    return shares_of(request.collection, purpose=CALENDAR, code="" if own.keeps else own.code)


def _page(request: HttpRequest, **more) -> HttpResponse:
    names = dict(members_of(request.collection).values_list("code", "name"))
    context = {"links": _links(request), "names": names} | more
    return render(request, "desk/calendar.html", context)

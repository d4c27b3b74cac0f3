"""The page a local hand without an account sees by a link: one count and nothing else."""

from collections.abc import Callable
from functools import wraps

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from collection.road.doors import actions, queries
from collection.road.doors.forms import TapForm
from collection.road.doors.models import DoorCount
from collection.road.doors.views import tapped
from registry import clock
from registry.access.gate import outside_collections
from registry.access.models import ShareLink
from registry.access.sharing import TooOften, shared, use

Page = Callable[[HttpRequest, str, ShareLink, DoorCount], HttpResponse]


def _by_link(page: Page) -> Callable[[HttpRequest, str], HttpResponse]:
    """Open a page with the count of its link; a link that is over opens nothing."""

    @wraps(page)
    def opened(request: HttpRequest, token: str) -> HttpResponse:
        link = shared(token, purpose=ShareLink.Purpose.DOORS, now=clock.now())
        found = queries.count_of(link) if link else None
        if link is None or found is None:
            return _answer(request, {}, status=410)
        try:
            return page(request, token, link, found)
        except TooOften as often:
            return _answer(request, {"often": str(often)}, status=429)

    return outside_collections(never_cache(opened))


@require_safe
@_by_link
def count(request: HttpRequest, token: str, link: ShareLink, count: DoorCount) -> HttpResponse:
    """The tiles of one count."""
    use(link, now=clock.now())
    return _answer(request, _board(token, count) | {"link": link, "count": count})


@require_safe
@_by_link
def tiles(request: HttpRequest, token: str, link: ShareLink, count: DoorCount) -> HttpResponse:
    """The tiles alone, asked for every few seconds: that is the page being open, not a use."""
    return _answer(request, _board(token, count), page="road/doors/_board.html")


@require_POST
@_by_link
def tap(request: HttpRequest, token: str, link: ShareLink, count: DoorCount) -> HttpResponse:
    """A tile is counted, or open again."""
    use(link, now=clock.now(), wrote=True)
    refused = tapped(count, TapForm(request.POST), actions.guest_of(link))
    context = _board(token, count) | {"refused": refused}
    if request.htmx:
        return _answer(request, context, page="road/doors/_board.html")
    if refused:
        return _answer(request, context | {"link": link, "count": count}, status=422)
    return redirect("doors:count", token)


@require_POST
@_by_link
def close(request: HttpRequest, token: str, link: ShareLink, count: DoorCount) -> HttpResponse:
    """The local hands are done: what they counted is written down as told."""
    use(link, now=clock.now(), wrote=True)
    actions.close(count=count, by=actions.guest_of(link), now=clock.now())
    return redirect("doors:count", token)


def _board(token: str, count: DoorCount) -> dict[str, object]:
    return {
        "board": queries.board(count, named=False),
        "may_tap": not count.closed_at,
        "tap_at": reverse("doors:tap", args=[token]),
        "tiles_at": reverse("doors:tiles", args=[token]),
        "close_at": reverse("doors:close", args=[token]),
    }


def _answer(
    request: HttpRequest,
    context: dict[str, object],
    *,
    page: str = "road/doors/guest_count.html",
    status: int = 200,
) -> HttpResponse:
    answer = render(request, page, context, status=status)
    answer["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    return answer

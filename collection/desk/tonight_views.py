"""Tonight before doors, and show mode."""

import secrets

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from collection.desk import tonight as queries
from registry import clock


@never_cache
@require_safe
def tonight(request: HttpRequest) -> HttpResponse:
    """What stands between now and the show."""
    seen = queries.tonight(request.collection, now=clock.now(), member=request.membership)
    page = "desk/tonight.html" if seen.show else "desk/tonight_none.html"
    return render(request, page, {"tonight": seen, "once": secrets.token_hex(8)})


@never_cache
@require_safe
def show_mode(request: HttpRequest) -> HttpResponse:
    """The stage plan, one press a position, every fallback in the page."""
    seen = queries.show_mode(request.collection, now=clock.now(), member=request.membership)
    page = "desk/show_mode.html" if seen["show"] else "desk/show_mode_none.html"
    seen["once"] = secrets.token_hex(8)
    # In the dark unless the person chose otherwise.
    seen["light"] = request.COOKIES.get("light") or "stage"
    return render(request, page, seen)

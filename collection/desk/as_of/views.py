"""The page of a day: pieces, titles and loans as they stood at its end."""

from collections.abc import Callable
from functools import wraps
from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from collection.desk.as_of.forms import AsOfForm
from collection.desk.as_of.queries import AsOf, moment_of, out_then, titles_of
from registry import clock

LINES = 100


@require_safe
def as_of(request: HttpRequest) -> HttpResponse:
    """Ask for a day; what was there at its end, whose, where, of what standing and value."""
    today = clock.today(request.collection.zone_info)
    form = AsOfForm(request.GET or None, today=today)
    context = {"form": form, "today": today}
    if form.is_valid():
        at, known = form.cleaned_data["at"], form.cleaned_data["known"]
        moment = moment_of(request.collection, at=at, known=known)
        asked = AsOf(request.membership, moment)
        page = Paginator(asked.there(), LINES).get_page(request.GET.get("page"))
        lines = asked.of(page)
        context |= {"at": at, "known": known, "page": page, "lines": lines}
        context |= {"titles": titles_of(lines), "out": out_then(request.collection, at)}
    return render(request, "desk/as_of/as_of.html", context, status=422 if form.errors else 200)


def or_as_of_a_day(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A list that leads to the page of a day when it is asked with `?at=`."""

    @wraps(view)
    def wrapped(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not request.GET.get("at"):
            return view(request, *args, **kwargs)
        days = {key: request.GET[key] for key in ("at", "known") if key in request.GET}
        return redirect(
            f"{reverse('desk:as_of', args=[request.collection.slug])}?{urlencode(days)}"
        )

    return wrapped

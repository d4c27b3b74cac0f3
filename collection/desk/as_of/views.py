"""The page of a day: pieces, titles and loans as they stood at its end."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from collection.desk.as_of.forms import AsOfForm
from collection.desk.as_of.queries import AsOf, moment_of, out_then, there_then, titles_of
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
        page = Paginator(there_then(request.collection, moment), LINES).get_page(
            request.GET.get("page")
        )
        lines = AsOf(request.membership, moment).of(page)
        context |= {"at": at, "known": known, "page": page, "lines": lines}
        context |= {"titles": titles_of(lines), "out": out_then(request.collection, at)}
    return render(request, "desk/as_of/as_of.html", context, status=422 if form.errors else 200)

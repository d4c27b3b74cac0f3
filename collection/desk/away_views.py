"""Who has what, as a page."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from collection.custody.whereabouts import whereabouts
from collection.desk import away as queries
from collection.desk.as_of.views import or_as_of_a_day
from registry import clock


@never_cache
@require_safe
@or_as_of_a_day
def away(request: HttpRequest) -> HttpResponse:
    """Loans, jobs, freight, and what somebody simply has."""
    found = queries.away(request.collection, now=clock.now())
    context = {"away": found, "known": whereabouts(request.membership)}
    return render(request, "desk/away.html", context)

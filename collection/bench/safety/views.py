"""The page of mains safety."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from collection.bench.safety import queries
from registry import clock


@require_safe
def safety(request: HttpRequest) -> HttpResponse:
    """What runs from the mains: when it last passed and when it is asked again."""
    today = clock.today(request.collection.zone_info)
    found = queries.tested(request.collection, today=today)
    context = {"tested": found, "plans": queries.safety_plans(request.collection), "today": today}
    return render(request, "bench/safety/safety.html", context)

"""What a phone asks for, so that it can go without network."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from collection.desk.offline import queries, worker
from registry import clock
from registry.access.gate import outside_collections


@outside_collections
@require_safe
def script(request: HttpRequest) -> HttpResponse:
    """The service worker; at the root, since it may only serve pages below its own address."""
    response = HttpResponse(worker.script(), content_type="text/javascript")
    response["Cache-Control"] = "no-cache"
    return response


@never_cache
@require_safe
def waiting(request: HttpRequest) -> HttpResponse:
    """What waits on this phone, what was refused, and which pages are kept."""
    show = queries.show_to_come(request.membership, now=clock.now())
    pages = queries.pages_to_keep(request.membership, show)
    return render(request, "desk/offline/waiting.html", {"pages": pages})


@never_cache
@require_safe
def kept(request: HttpRequest) -> JsonResponse:
    """Addresses of the pages to keep for this member, and the zone their evening is in."""
    member = request.membership
    show = queries.show_to_come(member, now=clock.now())
    zone = show.zone.key if show else request.collection.zone
    return JsonResponse({"pages": queries.pages_to_keep(member, show), "zone": zone})


@never_cache
@require_safe
def ready(request: HttpRequest) -> JsonResponse:
    """Who is signed in, a fresh token for forms, and the site's clock: asked before sending."""
    told = {"member": request.membership.code, "token": get_token(request)}
    return JsonResponse(told | {"now": clock.now().isoformat(timespec="milliseconds")})

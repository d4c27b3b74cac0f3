"""The light a page is shown in: paper, stage, or as the system has it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from registry.access.gate import outside_collections

LIGHTS = ("paper", "stage")
A_YEAR = 60 * 60 * 24 * 365  # seconds


def light(request: HttpRequest) -> dict[str, str]:
    """Context: `light` is 'paper', 'stage', or '' when the visitor has not chosen."""
    chosen = request.COOKIES.get("light", "")
    return {"light": chosen if chosen in LIGHTS else ""}


@outside_collections
@require_POST
def choose_light(request: HttpRequest) -> HttpResponse:
    """Keep the chosen light in a cookie and go back to the page it was chosen on."""
    response = redirect(_back(request))
    chosen = request.POST.get("light", "")
    if chosen in LIGHTS:
        response.set_cookie(
            "light", chosen, max_age=A_YEAR, samesite="Lax", secure=request.is_secure()
        )
    else:
        response.delete_cookie("light", samesite="Lax")
    return response


def _back(request: HttpRequest) -> str:
    asked = request.POST.get("next") or request.headers.get("referer", "")
    safe = url_has_allowed_host_and_scheme(
        asked, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return asked if safe else "/"

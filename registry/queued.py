"""Answers to what a phone sends from its queue: written or refused, told apart by a machine.

A page of the site sends what waited with the header `X-Queued`, which holds the code of the member
who wrote it. The views stay as they are; their redirects and pages are read here.
"""

from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.contrib.messages import ERROR, WARNING, add_message, get_messages
from django.contrib.messages.storage.base import Message
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import resolve_url

from registry.access.gate import View
from registry.findings import findings

HEADER = "X-Queued"
NO_REASON = "The register did not take it and did not say why."
BY_STATUS = {
    403: "Your part in this collection does not include writing this.",
    404: "What this is about is no longer in the register.",
    413: "It is too large for the register.",
}


class QueuedMiddleware:
    """Stands behind the gate: hold the member against the header, put the answer into JSON."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if HEADER not in request.headers:
            return self.get_response(request)
        earlier = len(get_messages(request))
        return _told(request, self.get_response(request), earlier)

    def process_view(
        self, request: HttpRequest, view: View, args: tuple[Any, ...], kwargs: dict[str, Any]
    ) -> HttpResponse | None:
        """Nobody sends under the name of another who used the same phone before."""
        by, member = request.headers.get(HEADER), request.membership
        if by and member and by != member.code:
            return JsonResponse({"signed_in": member.code}, status=409)
        return None


def _told(request: HttpRequest, response: HttpResponse, earlier: int) -> HttpResponse:
    if response.headers.get("Content-Type") == "application/json" or response.status_code >= 500:
        return response
    if 300 <= response.status_code < 400:
        return _redirected(request, response, earlier)
    refused = BY_STATUS.get(response.status_code)
    reasons = [refused] if refused else findings(response.content.decode(errors="replace"))
    status = response.status_code if refused else 422
    return JsonResponse({"refused": reasons or [NO_REASON]}, status=status)


def _redirected(request: HttpRequest, response: HttpResponse, earlier: int) -> HttpResponse:
    if response["Location"].startswith(resolve_url(settings.LOGIN_URL)):
        return JsonResponse({"sign_in": response["Location"]}, status=401)
    said = _said(request, earlier)
    refused = [str(one) for one in said if one.level == ERROR]
    if refused:
        return JsonResponse({"refused": refused}, status=422)
    asks = [str(one) for one in said if one.level == WARNING]
    return JsonResponse({"written": True, "to": response["Location"], "asks": asks})


def _said(request: HttpRequest, earlier: int) -> list[Message]:
    """What this request said. What was written just now is said on the next page as well;
    thirty lines of what waited, or a refusal that the list shows, are not."""
    every = list(get_messages(request))
    said = every[earlier:]
    quiet = "written_at" in request.POST or any(one.level == ERROR for one in said)
    for one in every[:earlier] if quiet else every:
        add_message(request, one.level, one.message, one.extra_tags)
    return said

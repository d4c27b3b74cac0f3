"""What a browser may load and do on our pages, and whose address a request has."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse

CONTENT_POLICY = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' blob:",  # a photo just taken, shown before it is sent
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
PERMISSIONS = "camera=(self), geolocation=(), microphone=(), payment=(), usb=()"


class PolicyMiddleware:
    """Send the content policy and the permissions with every answer."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", CONTENT_POLICY)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        return response


def client_address(request: HttpRequest) -> str:
    """The address the request came from, as far as it can be trusted.

    Behind a proxy that is the last one it appended: earlier ones are the sender's claim.
    """
    forwarded = request.META.get("HTTP_X_FORWARDED_FOR", "")
    if settings.BEHIND_PROXY and forwarded:
        return forwarded.rsplit(",", 1)[-1].strip()
    return request.META.get("REMOTE_ADDR", "")

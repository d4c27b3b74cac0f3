"""The gate: nothing of a collection is reached but by a member of it."""

from collections.abc import Callable
from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import ImproperlyConfigured
from django.http import Http404, HttpRequest, HttpResponse

from registry.access.gate import View, refuse_below
from registry.access.queries import membership_of
from registry.access.roles import Role

READING = ("GET", "HEAD", "OPTIONS")


class GateMiddleware:
    """Take `collection` out of the address and put the membership on the request."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.collection = request.membership = None
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: View, args: tuple[Any, ...], kwargs: dict[str, Any]
    ) -> HttpResponse | None:
        if "collection" not in kwargs:
            if getattr(view, "outside_collections", False):
                return None
            raise ImproperlyConfigured(
                f"{request.path} is under no collection and its view is not marked "
                "with @outside_collections."
            )
        slug = kwargs.pop("collection")
        # The same answer whether the collection exists or not, so that nobody can ask.
        if not request.user.is_authenticated:
            return redirect_to_login(request.get_full_path())
        return self._admit(request, view, slug)

    def _admit(self, request: HttpRequest, view: View, slug: str) -> None:
        membership = membership_of(request.user, slug)
        if membership is None:
            raise Http404("There is no such collection among yours.")
        request.membership, request.collection = membership, membership.collection
        if request.method not in READING and not hasattr(view, "needs_role"):
            refuse_below(request, Role.TECHNICIAN)

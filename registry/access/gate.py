"""What a view says about who may call it; the gate middleware reads it."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

from registry.access.roles import Role

View = Callable[..., HttpResponse]


def outside_collections(view: View) -> View:
    """Mark a view that belongs to no collection; it guards itself."""
    view.outside_collections = True  # type: ignore[attr-defined]
    return view


def needs(role: str) -> Callable[[View], View]:
    """Let only members with this role or a higher one call the view."""

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            refuse_below(request, role)
            return view(request, *args, **kwargs)

        guarded.needs_role = role  # type: ignore[attr-defined]
        return guarded

    return guard


def refuse_below(request: HttpRequest, role: str) -> None:
    """Raise `PermissionDenied`, with a sentence, for a member whose role is lower."""
    membership = request.membership  # type: ignore[attr-defined]
    if not membership.may(role):
        raise PermissionDenied(
            f"This needs the role of {Role(role).label.lower()}; "
            f"in this collection you are a {membership.get_role_display().lower()}. "
            "A keeper of the collection can change that."
        )

"""What every template knows about where it is and who looks."""

from django.http import HttpRequest


def here(request: HttpRequest) -> dict[str, object]:
    """Context: `collection` and `membership`, None outside a collection."""
    return {
        "collection": getattr(request, "collection", None),
        "membership": getattr(request, "membership", None),
    }

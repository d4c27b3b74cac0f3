"""Reading custody: the tree of places, what stands where, incidents."""

from collection.custody.models import Place
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from registry.access.models import Collection


def inside_path(place: Place) -> str:
    """The path of a place from the top of the tree, such as '/P-001/P-004/'."""
    return f"{place.inside.path if place.inside else '/'}{place.code}/"


def standing_theft(collection: Collection, code: str) -> Event | None:
    """The newest theft of a piece that stands in the book, not withdrawn."""
    found = Event.objects.of(collection).filter(subject__code=code, kind="stolen")
    return found.filter(~superseded()).order_by("-placed_us", "-sequence").first()

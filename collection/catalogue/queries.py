"""Reading the catalogue: pieces, designs, circuits, photos."""

from django.db.models import QuerySet

from collection.catalogue.models import Piece
from registry.access.models import Collection


def pieces(collection: Collection) -> QuerySet[Piece]:
    """Pieces of a collection with what their names are made of."""
    return Piece.objects.of(collection).select_related("maker", "design", "circuit", "subject")

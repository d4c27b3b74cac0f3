"""Reading the wanted list."""

from django.db.models import QuerySet

from collection.road.wanted.models import Wanted
from registry.access.models import Collection


def wanted(collection: Collection) -> QuerySet[Wanted]:
    """Everything wanted, what is open first."""
    return Wanted.objects.of(collection).select_related("tour")


def open_words(collection: Collection) -> set[str]:
    """What is wanted already, in words; one query."""
    found = Wanted.objects.of(collection).filter(closed_on__isnull=True)
    return set(found.values_list("what", flat=True))

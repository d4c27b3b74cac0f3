"""Who gets a seal every month, and what was written to them."""

from datetime import datetime

from django.db.models import QuerySet

from collection.desk.monthly.models import SealReader
from collection.desk.post.models import Letter
from registry.access.models import Collection

ABOUT_A_SEAL = "seal "


def readers(collection: Collection) -> QuerySet[SealReader]:
    """Everybody who is to have each month's seal."""
    return SealReader.objects.of(collection).select_related("party", "collection")


def key_of(collection: Collection, now: datetime) -> str:
    """What a month's letter is about: one a month, whenever the command runs."""
    return f"{ABOUT_A_SEAL}{now.astimezone(collection.zone_info):%Y-%m}"


def written_to(collection: Collection, key: str) -> set[int]:
    """Who was written to about this already, as keys of parties; 1 query."""
    found = Letter.objects.of(collection).filter(key=key, party__isnull=False)
    return set(found.values_list("party_id", flat=True))


def letters_out(collection: Collection) -> QuerySet[Letter]:
    """Letters with seals, the newest first."""
    found = Letter.objects.of(collection).filter(party__isnull=False, key__startswith=ABOUT_A_SEAL)
    return found.select_related("party").prefetch_related("enclosures").order_by("-made_at", "-pk")

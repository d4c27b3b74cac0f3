"""Letters of a collection, for the page of letters."""

from django.db.models import QuerySet

from collection.desk.post.models import Letter
from registry.access.models import Collection, Membership


def letters_to(collection: Collection, member: Membership) -> QuerySet[Letter]:
    """What was written to a member, the newest first."""
    return Letter.objects.of(collection).filter(member=member).order_by("-made_at", "-pk")[:50]

"""Writing what is known and assumed of part types; nothing here moves a unit."""

from typing import Any

from django.db import transaction

from collection.stock.models import Outlook, PartType, PullChoice
from registry.access.models import Collection, Membership


@transaction.atomic
def add_type(*, collection: Collection, code: str, **limits: Any) -> PartType:
    """A part type with its data-sheet limits; the one there is, when it is there already."""
    kind, _ = PartType.objects.get_or_create(
        collection=collection, code=code.strip(), defaults=limits
    )
    return kind


@transaction.atomic
def change_type(*, type: PartType, **limits: Any) -> PartType:
    """Other limits, equivalents, set size or clock of a type."""
    for name, value in limits.items():
        setattr(type, name, value)
    type.save()
    return type


@transaction.atomic
def choose_pull(
    *,
    collection: Collection,
    by: Membership,
    type: PartType,
    pull_hours: int | None,
    because: str,
) -> PullChoice:
    """When a type is pulled from now on; None: run until it fails. Earlier choices stay."""
    return PullChoice.objects.create(
        collection=collection, type=type, pull_hours=pull_hours, because=because, chosen_by=by.code
    )


@transaction.atomic
def set_outlook(
    *, collection: Collection, by: Membership, type: PartType, **assumed: Any
) -> Outlook:
    """What is assumed of a type beyond its log; what is not named stays as it was."""
    outlook, _ = Outlook.objects.update_or_create(
        type=type, defaults={"collection": collection, **assumed}
    )
    return outlook

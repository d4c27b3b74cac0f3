"""Ticking a line, and taking the tick off."""

from datetime import datetime

from collection.desk.checklists.models import ListTick
from collection.road.models import Tour
from registry.access.models import Membership


def tick(*, tour: Tour, line: str, by: Membership, now: datetime) -> ListTick:
    """It is done; the first tick stands, whoever presses again."""
    row, _ = ListTick.objects.get_or_create(
        tour=tour, line=line, defaults={"by": by.code, "at": now}
    )
    return row


def untick(*, tour: Tour, line: str) -> None:
    """It was not done after all."""
    ListTick.objects.filter(tour=tour, line=line).delete()

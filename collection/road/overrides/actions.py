"""Writing what plays at a position on one night only."""

from typing import Any

from django.db import transaction

from collection.catalogue.models import Piece
from collection.ledger.errors import PlanRefused
from collection.road import standing
from collection.road.models import RigPosition, Show
from collection.road.overrides.models import PositionOverride
from registry.access.models import Membership


@transaction.atomic
def set_override(
    *, by: Membership, position: RigPosition, show: Show, because: str, **instead: Any
) -> PositionOverride:
    """Put something else at a position for one show; raises PlanRefused with every reason.

    `instead`: piece or outside, backup, who works it; any of them.
    """
    piece, backup = instead.get("piece"), instead.get("backup")
    found = list(standing.reasons_against([one for one in (piece, backup) if one is not None]))
    if piece is not None and piece == backup:
        found.append("A piece cannot stand behind itself.")
    if piece is not None and instead.get("outside") is not None:
        found.append("Either an own piece plays or something hired, not both.")
    if found:
        raise PlanRefused(tuple(found))
    return PositionOverride.objects.update_or_create(
        position=position, show=show,
        defaults={"because": because, "noted_by": by.code, **instead},
    )[0]  # fmt: skip


@transaction.atomic
def as_planned(*, position: RigPosition, show: Show) -> None:
    """The position plays at this show what the plan says."""
    PositionOverride.objects.filter(position=position, show=show).delete()


def plan_backup(position: RigPosition, backup: Piece, stands: str) -> None:
    """A backup goes on the plan; where the night has a plan of its own, on that one."""
    if (tonight := getattr(position, "tonight", None)) is not None:
        tonight.backup = backup
        tonight.save(update_fields=["backup"])
        return
    position.backup, position.stands = backup, stands
    position.save(update_fields=["backup", "stands"])

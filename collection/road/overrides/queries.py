"""Positions as they stand on one night."""

from collections.abc import Iterable

from collection.road.models import RigPosition, Show
from collection.road.overrides.models import PositionOverride

_OF_A_PIECE = ("design", "circuit", "subject__state__place", "twin")


def overrides_at(shows: Iterable[Show]) -> dict[tuple[int, int], PositionOverride]:
    """What is otherwise at these shows, by show and position; one query."""
    both = [f"{role}__{name}" for role in ("piece", "backup") for name in _OF_A_PIECE]
    rows = PositionOverride.objects.filter(show__in=[show.pk for show in shows])
    found = rows.select_related("position", "outside__at", *both)
    return {(row.show_id, row.position_id): row for row in found}


def apply(positions: list[RigPosition], show: Show | None) -> list[RigPosition]:
    """The positions as they stand at a show, in place; one query, none without a show."""
    return put_on(positions, show, overrides_at([show]) if show and positions else {})


def put_on(
    positions: list[RigPosition],
    show: Show | None,
    known: dict[tuple[int, int], PositionOverride],
) -> list[RigPosition]:
    """The same from overrides read before: each row says its plan and what is otherwise."""
    for position in positions:
        tonight = known.get((show.pk, position.pk)) if show else None
        position.tonight, position.planned = tonight, position.piece
        if tonight is None:
            continue
        if tonight.piece_id or tonight.outside_id:
            position.piece = tonight.piece
        if tonight.backup_id:
            position.backup = tonight.backup
        if position.backup_id and position.backup_id == position.piece_id:
            position.backup = None
    return positions


def of_show(show: Show) -> list[PositionOverride]:
    """What is otherwise at one show, in the order of the positions; one query."""
    return sorted(overrides_at([show]).values(), key=lambda row: row.position.number)

"""Positions whose backup plays: sound came back by it tonight, and what died is not mended."""

from collections.abc import Iterable

from collection.catalogue.models import Piece
from collection.road.models import Died, RigPosition, Show


def swapped(show: Show | None, positions: Iterable[RigPosition]) -> dict[int, Died]:
    """The last death of each such position, by the position's key; one query where any may be."""
    may_be = [one.pk for one in positions if one.backup_id and _faulty(one.piece)]
    if show is None or not may_be:
        return {}
    rows = Died.objects.filter(show=show, position__in=may_be).order_by("at")
    last = {died.position_id: died for died in rows.select_related("show__venue")}
    return {key: died for key, died in last.items() if died.sound_back_at is not None}


def _faulty(piece: Piece | None) -> bool:
    state = getattr(piece.subject, "state", None) if piece else None
    return bool(state and state.open_faults)

"""Sheets on pages that are about something else."""

from collections.abc import Mapping

from django import template

from collection.bench.sheets.queries import Sheet
from collection.road.models import RigPosition

register = template.Library()


@register.inclusion_tag("bench/sheets/_set_it_like_this.html")
def set_it_like_this(sheets: Mapping[str, Sheet], position: RigPosition) -> dict[str, object]:
    """How the backup is set; where it has no sheet, how the piece it stands in for stood."""
    backup, piece = position.backup, position.piece
    found = sheets.get(backup.code) if backup else None
    instead = sheets.get(piece.code) if piece and backup and found is None else None
    return {"sheet": found or instead, "instead": instead is not None}

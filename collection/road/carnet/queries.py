"""For which pieces the carnet rule is set aside."""

from collection.road.carnet.models import CarnetOverride
from collection.road.models import Tour


def set_aside_for(tour: Tour | None) -> dict[int, CarnetOverride]:
    """By piece, for one tour; one query, none without a tour."""
    if tour is None:
        return {}
    return {row.piece_id: row for row in CarnetOverride.objects.filter(tour=tour)}

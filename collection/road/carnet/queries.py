"""The carnet of a tour, and for which pieces its rule is set aside."""

from collection.road.carnet.models import Carnet, CarnetOverride
from collection.road.models import Tour


def set_aside_for(tour: Tour | None) -> dict[int, CarnetOverride]:
    """By piece, for one tour; one query, none without a tour."""
    if tour is None:
        return {}
    return {row.piece_id: row for row in CarnetOverride.objects.filter(tour=tour)}


def carnet_of(tour: Tour) -> Carnet | None:
    """The carnet of a tour, whether it is issued or still being listed."""
    return Carnet.objects.filter(tour=tour).select_related("subject", "collection").first()


def issued_list(tour: Tour) -> frozenset[str] | None:
    """Codes on the issued list of a tour's carnet; None while there is none."""
    found = carnet_of(tour)
    return found.listed if found is not None and found.issued else None

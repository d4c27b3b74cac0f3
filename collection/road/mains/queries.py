"""Mains of every country as a collection sees them, and what does not fit at a show."""

from collections.abc import Iterable
from typing import Any

from collection.catalogue.models import Piece
from collection.core.mains_supply import SUPPLIES, Fed, Supply, misfits
from collection.core.transit_rules import Rules
from collection.custody.models import Place
from collection.road.candidates import hertz_of
from collection.road.mains.models import CountryMains
from collection.road.models import RigPosition, Show
from registry.access.models import Collection


def table(collection: Collection) -> dict[str, Supply]:
    """By country: the table of the site with the collection's own lines over it; one query."""
    own = {row.country: _own(row) for row in CountryMains.objects.of(collection)}
    return dict(sorted((SUPPLIES | own).items()))


def own_countries(collection: Collection) -> set[str]:
    """Which lines the collection has written itself; one query."""
    return set(CountryMains.objects.of(collection).values_list("country", flat=True))


def supply_of(collection: Collection, country: str) -> Supply | None:
    """What a wall socket of a country gives; one query, None when nobody has said."""
    row = CountryMains.objects.of(collection).filter(country=country.upper()).first()
    return _own(row) if row else SUPPLIES.get(country.upper())


def _own(row: CountryMains) -> Supply:
    return Supply(
        country=row.country, volts=row.volts, hertz=row.hertz, source=row.source, as_of=row.as_of
    )


def prefilled(collection: Collection, venue: Place, **given: Any) -> dict[str, Any]:
    """A day sheet whose mains were left blank, filled from the country of the venue."""
    supply = supply_of(collection, venue.country) if venue.country else None
    if supply is None or given.get("mains_volts") is not None:
        return {"venue": venue, **given}
    filled = {"mains_volts": supply.volts, "mains_hz": given.get("mains_hz") or supply.hertz}
    return {"venue": venue, **given, **filled}


def fed(piece: Piece) -> Fed:
    """What a piece asks of the mains: its own selector, else its circuit's."""
    circuit = piece.circuit
    volts = piece.mains_volts or (circuit.mains_volts if circuit else None)
    return Fed(code=piece.code, volts=volts, hertz=hertz_of(piece))


def misfits_at(
    show: Show, positions: Iterable[RigPosition], rules: Rules
) -> tuple[tuple[str, str], ...]:
    """What of the plan cannot run on the mains of a show, as (code, sentence); no query."""
    both = [piece for p in positions for piece in (p.piece, p.backup) if piece is not None]
    pieces = {piece.pk: fed(piece) for piece in both}
    return misfits(list(pieces.values()), volts=show.mains_volts, hertz=show.mains_hz, rules=rules)

"""The pack of a fly date, from the rig plan of that night."""

from collections.abc import Mapping
from dataclasses import dataclass

from collection.catalogue.models import Piece
from collection.core.air_limits import SUBSTITUTES_NAMED, flies, over_limits
from collection.road.mains.queries import fed, misfits
from collection.road.models import OutsideCandidate, RigPosition, Show
from collection.road.needs import positions_of
from collection.road.overrides.queries import apply
from registry.access.models import Collection


@dataclass(frozen=True)
class Flying:
    """A piece that travels with the player, and what of it is over a limit."""

    piece: Piece
    position: RigPosition
    over: tuple[str, ...]
    spare: bool = False

    @property
    def kg(self) -> str:
        """Its mass in kilograms, '' when nobody has weighed it."""
        return f"{self.piece.mass_grams / 1000:g}" if self.piece.mass_grams else ""


@dataclass(frozen=True)
class AskedFor:
    """A position the host supplies: up to three that the artist accepts, then never."""

    position: RigPosition
    accepted: tuple[str, ...]
    more: int
    hired: OutsideCandidate | None


@dataclass(frozen=True)
class Pack:
    """What flies, what is asked of the host."""

    flying: tuple[Flying, ...]
    asked_for: tuple[AskedFor, ...]
    known_grams: int
    unknown: int

    @property
    def known_kg(self) -> str:
        """What is weighed of it, in kilograms, '' for nothing."""
        return f"{self.known_grams / 1000:g}" if self.known_grams else ""


def pack(collection: Collection, show: Show) -> Pack:
    """The pack of one show; three queries whatever the size."""
    positions = apply(positions_of(show.tour), show)
    called = _called(collection)
    flying = [one for position in positions for one in _flying(position)]
    asked = [_asked(position, called) for position in positions if _from_the_host(position)]
    masses = [one.piece.mass_grams for one in flying]
    known = [grams for grams in masses if grams is not None]
    return Pack(tuple(flying), tuple(asked), sum(known), len(masses) - len(known))


def _flying(position: RigPosition) -> list[Flying]:
    both = ((position.piece, False), (position.backup, True))
    return [
        Flying(piece, position, over_limits(piece.mass_grams, piece.size), spare)
        for piece, spare in both
        if piece is not None and flies(piece.kind)
    ]


def _from_the_host(position: RigPosition) -> bool:
    piece = position.piece or position.planned or position.backup
    return piece is not None and not flies(piece.kind)


def _called(collection: Collection) -> dict[str, str]:
    rows = Piece.objects.of(collection).select_related("design")
    return {piece.code: piece.called for piece in rows}


def _asked(position: RigPosition, called: Mapping[str, str]) -> AskedFor:
    """A host cannot supply one of ours: codes are said by the design they are of."""
    planned = position.planned
    names = [
        *([planned.called] if planned else []),
        *(called.get(one, one) for one in position.accepted),
    ]
    named = list(dict.fromkeys(names))
    hired = position.tonight.outside if position.tonight else None
    return AskedFor(
        position, tuple(named[:SUBSTITUTES_NAMED]), max(len(named) - SUBSTITUTES_NAMED, 0), hired
    )


def mains_of(pack_of: Pack, show: Show, rules) -> tuple[tuple[str, str], ...]:
    """What flies and cannot run on the mains there, as (code, sentence)."""
    taken = [fed(one.piece) for one in pack_of.flying]
    return misfits(taken, volts=show.mains_volts, hertz=show.mains_hz, rules=rules)

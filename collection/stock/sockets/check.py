"""Whether a type may go into a position: asked of a plan, told of what was found."""

from collections.abc import Iterable
from dataclasses import dataclass

from collection.catalogue.models import Piece, Position
from collection.core.substitution import substitution
from collection.stock.models import UNKNOWN, PartType


@dataclass(frozen=True)
class Fit:
    """Why a type must not go in, and what to know before it does."""

    refused: tuple[str, ...] = ()
    warned: tuple[str, ...] = ()

    @property
    def doubts(self) -> tuple[str, ...]:
        """Everything that speaks against it."""
        return self.refused + self.warned


def positions_named(positions: Iterable[Position], name: str) -> list[Position]:
    """The positions that a name means: one, or all of a matched set."""
    return [one for one in positions if name and name in (one.name, one.matched_with)]


def fit_of(positions: Iterable[Position], name: str, type: PartType, *, piece: Piece) -> Fit:
    """Whether a type fits a position of a piece; nothing is known where the chart is empty."""
    positions = list(positions)
    named = positions_named(positions, name)
    if not named:
        known = ", ".join(one.name for one in positions)
        if not known:
            return Fit()
        return Fit(warned=(f"The chart of {piece.code} has no {name}; it has {known}.",))
    if type.code == UNKNOWN:
        return Fit(warned=(f"Nobody knows what sits in {name} of {piece.code}.",))
    takes = [code for one in named for code in one.fits]
    if not takes or _is_one_of(type, takes):
        return Fit()
    return _best(f"{named[0].name} of {piece.code}", type, dict.fromkeys(takes))


def _is_one_of(type: PartType, takes: Iterable[str]) -> bool:
    return bool({type.code, *type.same_as} & set(takes))


def _best(place: str, type: PartType, takes: Iterable[str]) -> Fit:
    """The kindest verdict over the types that a position takes."""
    verdicts = [_verdict(place, type, code) for code in takes]
    return min(verdicts, key=lambda fit: (len(fit.refused), len(fit.warned)))


def _verdict(place: str, type: PartType, code: str) -> Fit:
    found = substitution(code, type.code)
    head = f"{place} takes {code}."
    if found.level == "same":
        return Fit()
    if found.level == "wrong":
        return Fit(refused=tuple(f"{head} {said}" for said in found.sentences))
    if code in type.near:
        return Fit(warned=(f"{head} {type.code} is near: {type.near[code]}.",))
    if found.level == "near":
        return Fit(warned=tuple(f"{head} {said}" for said in found.sentences))
    return Fit(refused=(f"{head} Nothing says that {type.code} may go in there.",))

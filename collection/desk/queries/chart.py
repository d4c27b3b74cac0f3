"""The tube chart of one piece: positions of its circuit and what is fitted in them."""

import re
from dataclasses import dataclass
from itertools import groupby

from collection.catalogue import queries as catalogue
from collection.catalogue.models import Piece, Position
from collection.core.state import State, from_json
from collection.stock.models import Part, PartType


@dataclass(frozen=True)
class Fitted:
    """A part or set that the book has in this piece."""

    part: Part
    state: State

    @property
    def in_positions(self) -> set[str]:
        """Names of the positions it was fitted in, as they were given."""
        said = self.state.position or ""
        return {said, *re.split(r"\s*[,+&/]\s*|\s+and\s+", said)} - {""}


@dataclass(frozen=True)
class Socket:
    """A position, what it takes and what is in it."""

    position: Position
    base: str
    fitted: Fitted | None

    @property
    def takes(self) -> str:
        """Types that fit, best first."""
        return ", ".join(self.position.fits)


@dataclass(frozen=True)
class Sockets:
    """Positions that are fed as one matched set (`name`), or one alone."""

    name: str
    sockets: tuple[Socket, ...]

    @property
    def fitted(self) -> Fitted | None:
        """The set in these positions, when one set fills them all."""
        found = {socket.fitted.part.pk: socket.fitted for socket in self.sockets if socket.fitted}
        return next(iter(found.values())) if len(found) == 1 else None


@dataclass(frozen=True)
class Chart:
    """All positions, and parts the book has in the piece at no position of the chart."""

    groups: tuple[Sockets, ...]
    elsewhere: tuple[Fitted, ...]


def chart_of(piece: Piece) -> Chart:
    """The chart of a piece; three queries."""
    fitted = fitted_in(piece)
    places = catalogue.positions(piece.circuit) if piece.circuit else []
    bases = _bases(piece, places)
    sockets = [_socket(position, fitted, bases) for position in places]
    groups = groupby(sockets, key=lambda s: s.position.matched_with or f"\0{s.position.name}")
    used = {socket.fitted.part.pk for socket in sockets if socket.fitted}
    return Chart(
        tuple(Sockets(name if name[0] != "\0" else "", tuple(found)) for name, found in groups),
        tuple(one for one in fitted if one.part.pk not in used),
    )


def fitted_in(piece: Piece) -> list[Fitted]:
    """Parts the book has in a piece: those named beside it whose state says so."""
    named = Part.objects.of(piece.collection).filter(
        subject__mentions__entry__mentions__subject=piece.subject
    )
    rows = named.select_related("type", "lot", "subject__state").distinct()
    found = [Fitted(part, from_json(part.subject.state.detail)) for part in rows]
    return [one for one in found if one.state.fitted_in == piece.code]


def _bases(piece: Piece, places: list[Position]) -> dict[str, str]:
    wanted = {code for position in places for code in position.fits}
    types = PartType.objects.of(piece.collection).filter(code__in=wanted)
    return dict(types.values_list("code", "base"))


def _socket(position: Position, fitted: list[Fitted], bases: dict[str, str]) -> Socket:
    named = {position.name, position.matched_with} - {""}
    found = next((one for one in fitted if one.in_positions & named), None)
    said = next((bases[code] for code in position.fits if bases.get(code)), "")
    base = "octal" if "octal" in said.casefold() else "noval"
    return Socket(position, base if said else "", found)

"""What must be in a truck after a show: the tour's cases, and pieces that ride in none."""

from collections.abc import Iterable
from dataclasses import dataclass

from collection.catalogue.models import Piece, PieceKind
from collection.core.events.kind import GONE
from collection.custody.models import Place
from collection.ledger.models import State
from collection.road.models import RigPosition, Show, Travelling
from collection.road.standing import BARRED


@dataclass(frozen=True)
class Tile:
    """One thing to be counted, by its code and the name on it."""

    code: str
    name: str

    def as_row(self) -> dict[str, str]:
        """As it is kept with the count."""
        return {"code": self.code, "name": self.name}


@dataclass(frozen=True)
class Load:
    """What belongs in one truck, what does not and why, and pieces out of their cases."""

    tiles: tuple[Tile, ...]
    elsewhere: tuple[tuple[str, str], ...]  # (what, why it is not expected)
    loose: tuple[tuple[str, str], ...]  # (piece, the case it belongs in)


@dataclass(frozen=True)
class _Ground:
    """The places and states that the rules look at, read once."""

    places: dict[int, Place]
    states: dict[int, State]
    cases: dict[int, Place]
    other_trucks: dict[str, Place]

    def path(self, pk: int | None) -> str:
        return self.places[pk].path if pk in self.places else ""

    def truck_of(self, pk: int | None) -> Place | None:
        """Another truck that it stands in."""
        inside = self.path(pk).strip("/").split("/")
        return next((self.other_trucks[c] for c in inside if c in self.other_trucks), None)


def load_of(show: Show, truck: Place) -> Load:
    """What belongs in a truck at the load-out of a show; six queries whatever the size."""
    pieces = _pieces(show)
    ground = _ground(show, truck, pieces)
    cases = sorted(ground.cases.values(), key=lambda case: case.code)
    mine = [case for case in cases if ground.truck_of(case.pk) is None]
    apart = [(f"{c.code} {c.name}", f"in {ground.truck_of(c.pk)}") for c in cases if c not in mine]
    loose: list[tuple[str, str]] = []
    own: list[Tile] = []
    for piece in pieces:
        state = ground.states.get(piece.pk)
        if why := _why_not(state, ground):
            apart.append((str(piece), why))
        elif piece.usual_place_id not in ground.cases:
            own.append(Tile(piece.code, _plainly(piece)))
        elif not _in_its_case(piece, state, ground):
            loose.append((str(piece), str(ground.cases[piece.usual_place_id])))
    return Load((*(Tile(c.code, c.name) for c in mine), *own), tuple(apart), tuple(loose))


def _pieces(show: Show) -> list[Piece]:
    """What travels and what stands on the rig plan, each once."""
    travels = Travelling.objects.filter(tour=show.tour).select_related("piece__design")
    rig = RigPosition.objects.filter(tour=show.tour)
    rows = list(rig.select_related("piece__design", "backup__design"))
    both = [piece for row in rows for piece in (row.piece, row.backup) if piece]
    found = {piece.pk: piece for piece in (*(one.piece for one in travels), *both)}
    return sorted(found.values(), key=lambda piece: piece.code)


def _ground(show: Show, truck: Place, pieces: Iterable[Piece]) -> _Ground:
    along = list(show.tour.places.all())
    states = State.objects.filter(subject__in=[piece.pk for piece in pieces])
    places = {place.pk: place for place in Place.objects.of(show.collection)}
    trucks = [row for row in places.values() if row.kind == Place.Kind.TRUCK and row != truck]
    return _Ground(
        places=places,
        states={state.pk: state for state in states.select_related("holder__party")},
        cases={place.pk: place for place in along if place.kind == Place.Kind.CASE},
        other_trucks={place.code: place for place in trucks},
    )


def _why_not(state: State | None, ground: _Ground) -> str:
    """Why a piece is not expected at this door; '' when it is."""
    if state is None:
        return ""
    if state.standing in GONE:
        return BARRED[state.standing]
    if state.holder_id:
        party = getattr(state.holder, "party", None)
        return f"with {party or state.holder.code}"
    truck = ground.truck_of(state.place_id)
    return f"in {truck}" if truck else ""


def _plainly(piece: Piece) -> str:
    """What a stranger may read of it: what kind of thing it is, no maker and no design."""
    return piece.family or (piece.called if piece.kind == PieceKind.OTHER else piece.kind)


def _in_its_case(piece: Piece, state: State | None, ground: _Ground) -> bool:
    case = ground.cases[piece.usual_place_id]
    return state is not None and ground.path(state.place_id).startswith(case.path)

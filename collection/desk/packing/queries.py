"""What is packed for a tour: its cases with their contents and mass, and what goes in none."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from collection.catalogue.models import Piece
from collection.core import cautions
from collection.custody.cases.queries import Contents, all_cases
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts, whereabouts
from collection.road import queries as road
from collection.road.doors.models import DoorCount
from collection.road.doors.queries import counts
from collection.road.models import Show, Tour
from registry.access.models import Membership


@dataclass(frozen=True)
class Packed:
    """A case, or a piece that goes in none; `order`: place in the truck, from 1, None not known."""

    case: Contents | None = None
    piece: Piece | None = None
    truck: str = ""
    order: int | None = None

    @property
    def code(self) -> str:
        """What is painted on it."""
        return self.case.place.code if self.case else self.piece.code

    @property
    def name(self) -> str:
        """What it is called."""
        return self.case.place.name if self.case else self.piece.called

    @property
    def grams(self) -> int:
        """What is weighed of it when it is packed as listed; kit is not weighed."""
        return self.case.packed_grams if self.case else self.piece.mass_grams or 0

    @property
    def kg(self) -> str:
        """The same in kilograms, '' when nothing of it is weighed."""
        return f"{self.grams / 1000:.1f}" if self.grams else ""

    @property
    def weighed(self) -> bool:
        """Whether nothing in it is missing from that figure."""
        return self.case.weighed if self.case else self.piece.mass_grams is not None

    @property
    def two_people(self) -> bool:
        """Whether what is weighed of it is more than one person lifts."""
        return cautions.lifting(self.grams, weighed=self.weighed) is not None

    @property
    def size(self) -> str:
        """Outside size as it was measured."""
        if self.piece:
            return self.piece.size
        return self.case.sheet.size if self.case.sheet else ""

    @property
    def holds(self) -> list[str]:
        """Pieces that belong in it or are in it, then its kit."""
        lines = self.case.lines if self.case else ()
        said = [f"{one.piece.code} {one.piece.called}" for one in lines]
        return [*said, *(str(line) for line in (self.case.kit if self.case else ()))]


@dataclass(frozen=True)
class Packing:
    """The list: of the whole tour, or of one truck; `loaded_at`: the show its order is from."""

    tour: Tour
    rows: tuple[Packed, ...]
    trucks: tuple[Place, ...]
    truck: Place | None = None
    loaded_at: Show | None = None

    @cached_property
    def kg(self) -> str:
        """What is weighed of all of it."""
        return f"{sum(one.grams for one in self.rows) / 1000:.1f}"

    @property
    def whole(self) -> bool:
        """Whether everything on it is weighed."""
        return all(one.weighed for one in self.rows)

    @property
    def unweighed(self) -> list[str]:
        """Codes of what is not fully weighed."""
        return [one.code for one in self.rows if not one.weighed]

    @property
    def heavy(self) -> list[Packed]:
        """What it takes two to lift, the heaviest first."""
        found = [one for one in self.rows if one.two_people]
        return sorted(found, key=lambda one: (-one.grams, one.code))


def packing(tour: Tour, member: Membership, *, truck: str = "") -> Packing:
    """The list of a tour, or of one of its trucks; nine queries whatever the size."""
    known = whereabouts(member)
    trucks = tuple(p for p in tour.places.all() if p.kind == Place.Kind.TRUCK)
    chosen = next((one for one in trucks if one.code == truck), None)
    rows = list(_rows(tour, known, [one.code for one in trucks]))
    if chosen is None:
        return Packing(tour, tuple(rows), trucks)
    count = _last_count(tour, chosen)
    loaded = _loaded(count)
    inside = [
        one for one in rows if one.code in loaded or (not loaded and one.truck == chosen.name)
    ]
    placed = [_placed(one, loaded) for one in inside]
    ordered = sorted(placed, key=lambda one: (one.order is None, one.order or 0, one.code))
    return Packing(tour, tuple(ordered), trucks, chosen, count.show if count else None)


def _rows(tour: Tour, known: Whereabouts, trucks: list[str]) -> Iterable[Packed]:
    travels = {one.piece_id: one.piece for one in road.travelling(tour)}
    along = {place.pk for place in tour.places.all()}
    packed: set[int] = set()
    for case in all_cases(tour.collection, known):
        pieces = {line.piece.pk for line in case.lines}
        if case.place.pk in along or pieces & travels.keys():
            packed |= pieces
            yield Packed(case, truck=_truck(case.place.pk, known, trucks))
    for pk, piece in travels.items():
        if pk not in packed:
            state = getattr(piece.subject, "state", None)
            yield Packed(piece=piece, truck=_truck(state and state.place_id, known, trucks))


def _truck(place: int | None, known: Whereabouts, trucks: list[str]) -> str:
    chain = known.chain(place) if place in known.rows else []
    return next((one.name for one in chain if one.code in trucks), "")


def _last_count(tour: Tour, truck: Place) -> DoorCount | None:
    """The last load-out into the truck that anything was counted at."""
    found = counts(tour.collection).filter(show__tour=tour, truck=truck, taps__isnull=False)
    return found.select_related("show__venue").order_by("-opened_at").first()


def _loaded(count: DoorCount | None) -> dict[str, int | None]:
    """Codes of that load-out with their place in it; what was not counted stands last."""
    if count is None:
        return {}
    taps = count.taps.filter(undone_at=None).order_by("at", "pk").values_list("code", flat=True)
    order: dict[str, int | None] = {tile["code"]: None for tile in count.tiles}
    return order | {code: number for number, code in enumerate(taps, 1)}


def _placed(one: Packed, loaded: dict[str, int | None]) -> Packed:
    return Packed(one.case, one.piece, one.truck, loaded.get(one.code))

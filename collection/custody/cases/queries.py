"""Reading cases: what is in one, what belongs in it, its kit, and what it weighs."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core import cautions
from collection.core.events.kind import GONE
from collection.custody.carried import Spot, carried
from collection.custody.cases.goes_with import GoesWith, goes_with_check
from collection.custody.cases.models import CaseSheet, KitLine
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts
from collection.ledger.models import State
from registry.access.models import Collection
from registry.access.queries import member_names


@dataclass(frozen=True)
class Line:
    """A piece that belongs in a case, is in it, or both."""

    piece: Piece
    here: bool
    belongs: bool
    where: str  # where the book has it, '' when nobody has said
    usual: str  # where it belongs

    @property
    def standing(self) -> str:
        """'held', or what speaks against finding it."""
        state = getattr(self.piece.subject, "state", None)
        return state.standing if state else "held"

    @property
    def kg(self) -> str:
        """Its mass in kilograms."""
        return f"{(self.piece.mass_grams or 0) / 1000:.1f}"

    @property
    def check(self) -> tuple[GoesWith, ...]:
        """What goes with it, thing by thing."""
        return goes_with_check(self.piece)


@dataclass(frozen=True)
class Contents:
    """A case as it is packed and as it should be."""

    place: Place
    lines: tuple[Line, ...]
    kit: tuple[KitLine, ...]
    sheet: CaseSheet | None

    @property
    def missing(self) -> list[Line]:
        """What belongs in it and is not there."""
        return [one for one in self.lines if one.belongs and not one.here]

    @property
    def strays(self) -> list[Line]:
        """What is in it and belongs in another case."""
        return [one for one in self.lines if one.here and not one.belongs]

    @property
    def belonging(self) -> list[Line]:
        """What belongs in it, there or not."""
        return [one for one in self.lines if one.belongs]

    @property
    def in_it(self) -> list[Line]:
        """What is in it, belonging or not."""
        return [one for one in self.lines if one.here]

    @property
    def right(self) -> int:
        """How many of what belongs in it are in it."""
        return len(self.belonging) - len(self.missing)

    @property
    def short(self) -> list[KitLine]:
        """Kit of which fewer were counted than belong in it."""
        return [line for line in self.kit if line.short]

    @property
    def tare_grams(self) -> int | None:
        """What it weighs when empty, None when nobody has weighed it."""
        return self.sheet.tare_grams if self.sheet else None

    @property
    def tare_kg(self) -> str:
        """The same in kilograms."""
        return f"{(self.tare_grams or 0) / 1000:.1f}"

    @property
    def unweighed(self) -> int:
        """How many pieces that are in it or belong there nobody has weighed."""
        return sum(1 for one in self.lines if one.piece.mass_grams is None)

    @property
    def grams(self) -> int:
        """What is weighed of it: pieces in it and the case itself, without the kit."""
        return (self.tare_grams or 0) + sum(one.piece.mass_grams or 0 for one in self.in_it)

    @property
    def kg(self) -> str:
        """The same in kilograms, '' when nothing of it is weighed."""
        return f"{self.grams / 1000:.1f}" if self.grams else ""

    @property
    def packed_grams(self) -> int:
        """What is weighed of it once all that belongs in it is in it, without the kit."""
        return (self.tare_grams or 0) + sum(one.piece.mass_grams or 0 for one in self.lines)

    @property
    def packed_kg(self) -> str:
        """The same in kilograms, '' when nothing of it is weighed."""
        return f"{self.packed_grams / 1000:.1f}" if self.packed_grams else ""

    @property
    def weighed(self) -> bool:
        """Whether case and pieces are weighed; kit never is."""
        return self.tare_grams is not None and not self.unweighed and not self.kit

    @property
    def lifting(self) -> cautions.Caution | None:
        """What is said before it is lifted, as heavy as it is when packed."""
        return cautions.lifting(self.packed_grams, weighed=self.weighed)


@dataclass(frozen=True)
class Seen:
    """How sure the book is of where a case stands."""

    at: datetime | None
    by: str
    source: str
    standing: str
    spot: Spot | None


def contents(place: Place, known: Whereabouts) -> Contents:
    """One case; three queries."""
    # The tree's own row: whoever holds an older one does not know where the case has gone since.
    return _contents(place.collection, [known.rows[place.pk]], known)[0]


def all_cases(collection: Collection, known: Whereabouts) -> list[Contents]:
    """Every case this member may know; three queries whatever the number."""
    cases = [place for place in known.shown() if place.kind == Place.Kind.CASE]
    return _contents(collection, sorted(cases, key=lambda one: one.code), known)


def _contents(collection: Collection, places: list[Place], known: Whereabouts) -> list[Contents]:
    keys = [place.pk for place in places]
    inside = {pk for place in places for pk in _below(place, known)}
    found = pieces(collection).filter(Q(usual_place__in=keys) | Q(subject__state__place__in=inside))
    rows = list(found.select_related("subject__state").order_by("code"))
    sheets = {sheet.pk: sheet for sheet in CaseSheet.objects.filter(place__in=keys)}
    kit: dict[int, list[KitLine]] = {}
    for line in KitLine.objects.filter(place__in=keys):
        kit.setdefault(line.place_id, []).append(line)
    return [
        Contents(
            place,
            tuple(_lines(place, rows, known)),
            tuple(kit.get(place.pk, ())),
            sheets.get(place.pk),
        )
        for place in places
    ]


def _below(place: Place, known: Whereabouts) -> list[int]:
    return [one.pk for one in known.rows.values() if one.path.startswith(place.path)]


def _lines(place: Place, rows: Iterable[Piece], known: Whereabouts) -> Iterable[Line]:
    within = set(_below(place, known))
    for piece in rows:
        state = getattr(piece.subject, "state", None)
        here = state is not None and state.place_id in within and state.standing not in GONE
        belongs = piece.usual_place_id == place.pk
        if here or belongs:
            where = known.words(state.place_id) if state else ""
            yield Line(piece, here, belongs, where, known.name(piece.usual_place_id))


def seen(place: Place, *, now: datetime) -> Seen:
    """When the case was last seen and by whom, and where its tour carries it; six queries."""
    state = State.objects.of(place.collection).filter(subject=place.pk).first()
    last = (state.detail.get("seen") or {}) if state else {}
    names = member_names(place.collection)
    by = last.get("by", "")
    return Seen(
        at=state.seen_at if state else None,
        by=names.get(by, by),
        source=last.get("source", ""),
        standing=state.standing if state else "held",
        spot=carried(place.collection, now).spots.get(place.pk),
    )

"""Reading readings: the latest of pieces, all of one, what may be compared, where sockets are."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import cast

from django.db.models import QuerySet

from collection.bench import queries as bench
from collection.bench.said import day_of, day_said, facts_said
from collection.catalogue import queries as catalogue
from collection.catalogue.models import Piece, Position
from collection.core.events.measured import METHODS, Measured
from collection.core.idle_reading import Figure, Limit, figures, unlike
from collection.core.state import State
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from collection.stock.models import Part, PartType
from collection.stock.positions import names_in
from registry.access.models import Collection
from registry.access.queries import member_names

KEPT = 60  # readings of a piece that a page knows
BIAS = {
    "fixed": "one control sets all",
    "own": "each trimmer by itself",
    "cathode": "it sets itself at the cathode",
}


@dataclass(frozen=True)
class Reading:
    """One reading of a piece: what was said, and each socket's figure."""

    event: Event
    said: Measured
    figures: tuple[Figure, ...]
    who: str = ""
    unlike: tuple[str, ...] = ()

    @property
    def on(self) -> date | None:
        """The day, where exactly one is known."""
        return day_of(self.event)

    @property
    def when(self) -> str:
        """Its day, or its date in words."""
        return day_said(self.event)

    @property
    def how(self) -> str:
        """How it was read, in words."""
        return METHODS.get(self.said.method, self.said.method)

    @property
    def bias(self) -> str:
        """What sets the bias, in words."""
        return BIAS.get(self.said.bias, self.said.bias)

    @property
    def plate_volts(self) -> str:
        """Plate volts of all sockets, once where they are equal."""
        volts = dict.fromkeys(f.read.plate_volts for f in self.figures if f.read.plate_volts)
        return " and ".join(volts)

    @property
    def shares(self) -> str:
        """Screen shares in percent, once where they are equal."""
        said = (f.share_percent for f in self.figures)
        return " and ".join(dict.fromkeys(f"{share:.3g}" for share in said if share is not None))

    @property
    def estimated(self) -> bool:
        """Whether any figure rests on a published screen share."""
        return any(f.estimated and f.share is not None for f in self.figures)

    @property
    def disagrees(self) -> str:
        """Types whose published share the points of data sheets do not bear out."""
        return " and ".join(dict.fromkeys(f.type for f in self.figures if f.share_disagrees))

    def figure(self, position: str) -> Figure | None:
        """The figure of one socket."""
        return next((f for f in self.figures if f.position == position), None)


@dataclass(frozen=True)
class Measurable:
    """A socket that is read at idle, with what the book has in it."""

    position: Position
    type: str
    part: str


def latest(pieces: Iterable[Piece]) -> dict[str, Reading]:
    """The latest reading of each piece that has one, by code; two queries, however many."""
    rows = {piece.pk: piece for piece in pieces}
    if not rows:
        return {}
    collection = next(iter(rows.values())).collection
    newest: dict[int, Event] = {}
    written = _effective(Event.objects.of(collection).filter(subject__in=rows))
    for event in written:
        newest.setdefault(event.subject_id, event)
    found = _readings(list(newest.values()), collection, {})
    return {rows[one.event.subject_id].code: one for one in found}


def readings_of(piece: Piece) -> list[Reading]:
    """Readings of a piece, newest first, each with why it does not compare with the newest."""
    rows = list(_effective(Event.objects.filter(subject=piece.subject))[:KEPT])
    return _readings(rows, piece.collection, member_names(piece.collection))


def measured_pieces(collection: Collection) -> list[tuple[Piece, Reading | None]]:
    """Pieces with output tubes, by code, each with its latest reading."""
    rows = [piece for piece in bench.pieces(collection).filter(circuit__isnull=False)
            if piece.circuit and piece.circuit.bias in BIAS]  # fmt: skip
    read = latest(rows)
    return [(piece, read.get(piece.code)) for piece in rows]


def measurable(piece: Piece, state: State) -> list[Measurable]:
    """The output sockets of a piece in the order of its chart, else all that take a tube."""
    places = list(catalogue.positions(piece.circuit)) if piece.circuit else []
    output = [one for one in places if one.matched_with or "output" in one.does.casefold()]
    parts = _parts(piece, state)
    return [_measurable(one, state, parts) for one in output or places]


def limits_of(collection: Collection, types: Iterable[str]) -> dict[str, Limit]:
    """The collection's own limits by type or exact equivalent, where it has one."""
    wanted = {name for name in types if name}
    found: dict[str, Limit] = {}
    if not wanted:
        return found
    for kind in PartType.objects.of(collection).filter(plate_watts__isnull=False):
        limit = Limit(float(kind.plate_watts), kind.rating_system, kind.sheet)
        found[kind.code] = limit
        for name in kind.same_as:
            found.setdefault(name, limit)
    return {name: limit for name, limit in found.items() if name in wanted}


def _effective(rows: QuerySet[Event]) -> QuerySet[Event]:
    kept = rows.filter(~superseded(), kind="measured").select_related("subject")
    return kept.order_by("-placed_us", "-sequence")


def _readings(rows: list[Event], collection: Collection, who: Mapping[str, str]) -> list[Reading]:
    said = [cast(Measured, facts_said(event)) for event in rows]
    types = {read.type for one in said for read in one.reads}
    limits = limits_of(collection, types)
    newest: dict[int, Measured] = {}
    found = []
    for event, one in zip(rows, said, strict=True):
        with_what = newest.setdefault(event.subject_id, one)
        apart = () if with_what is one else unlike(one, with_what)
        name = who.get(event.recorded_by, event.recorded_by)
        found.append(Reading(event, one, figures(one, limits), name, apart))
    return found


def _parts(piece: Piece, state: State) -> dict[str, Part]:
    codes = [code for code, _ in state.fitted]
    rows = Part.objects.of(piece.collection).filter(code__in=codes).select_related("type")
    return {part.code: part for part in rows}


def _measurable(position: Position, state: State, parts: Mapping[str, Part]) -> Measurable:
    names = {position.name, position.matched_with} - {""}
    inside = [parts[code] for code, said in state.fitted
              if names & names_in(said) and code in parts]  # fmt: skip
    part = inside[0] if inside else None
    first = position.fits[0] if position.fits else ""
    return Measurable(position, part.type.code if part else first, part.code if part else "")

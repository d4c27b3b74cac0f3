"""Reading for the pages of sockets: what may go in, what the book has in there."""

from dataclasses import dataclass

from django.db.models import QuerySet

from collection.catalogue.models import Piece, PieceKind
from collection.core.state import State, from_json
from collection.ledger.lines import Line, named
from collection.ledger.models import Event
from collection.ledger.models import State as StateRow
from collection.ledger.naming import Naming
from collection.ledger.queries import life_line
from collection.stock.models import UNKNOWN, Part, PartType
from collection.stock.queries import pieces_to_fit
from collection.stock.queries.log import log_of
from registry.access.models import Collection

OF_A_PIECE = frozenset({"fitted", "removed", "stripped_for_parts"})


def state_of(part: Part) -> State:
    """What the book says of a part."""
    row = getattr(part.subject, "state", None)
    return from_json(row.detail) if row else State()


@dataclass(frozen=True, kw_only=True)
class PartLine(Line):
    """A line of a part's history, with the piece it happened to and names for codes."""

    @property
    def sentence(self) -> str:
        """What the entry says, and of which piece."""
        said = super().sentence
        return f"{self.event.subject.code}: {said}" if self.event.kind in OF_A_PIECE else said


def history_of(part: Part, naming: Naming) -> list[PartLine]:
    """The newest entries that name a part; 5 queries."""
    lines = named(life_line(part.subject), naming)
    return [PartLine(**vars(line)) for line in lines]


def parts(collection: Collection) -> QuerySet[Part]:
    """Parts with their types, lots and states."""
    return Part.objects.of(collection).select_related("type", "lot", "subject__state", "belongs_to")


def loose_parts(collection: Collection) -> QuerySet[Part]:
    """Parts that are in no piece and not dead, by code."""
    states = [(part, state_of(part)) for part in parts(collection)]
    loose = [part.pk for part, state in states if not state.fitted_in and state.grade != "dead"]
    return parts(collection).filter(pk__in=loose)


def parts_in(piece: Piece) -> QuerySet[Part]:
    """Parts that the book has in a piece."""
    row = getattr(piece.subject, "state", None)
    codes = dict(from_json(row.detail).fitted) if row else {}
    return parts(piece.collection).filter(code__in=codes)


def types(collection: Collection) -> QuerySet[PartType]:
    """Types that somebody can name."""
    return PartType.objects.of(collection).exclude(code=UNKNOWN)


def other_pieces(piece: Piece) -> QuerySet[Piece]:
    """Pieces that a part of this one can go into."""
    return pieces_to_fit(piece.collection).exclude(pk=piece.pk)


def has_high_voltage(piece: Piece) -> bool:
    """Whether a hand in it is near voltages that kill."""
    circuit_volts = piece.circuit.mains_volts if piece.circuit else None
    return piece.kind == PieceKind.AMPLIFIER or bool(piece.mains_volts or circuit_volts)


def hours_of(part: Part) -> dict[str, object]:
    """Hours of a part on both clocks; None before it was ever fitted."""
    log = log_of(part.collection, [part.code])
    return {"ht": log.ran(part.code, "ht"), "heater": log.ran(part.code, "heater")}


def mates_of(part: Part) -> list[str]:
    """Codes of the set that a single part is left over from, or of what is left over from it."""
    broken = Event.objects.of(part.collection).filter(
        kind="fitted", mentions__subject=part.subject, names__has_key="set"
    )
    named = {code for e in broken for role, code in e.names.items() if role in ("set", "part")}
    return sorted(named - {part.code})


def fitted_elsewhere(piece: Piece) -> QuerySet[Part]:
    """Parts that sit in other pieces; the states of pieces say which."""
    rows = StateRow.objects.filter(
        collection=piece.collection, subject__kind="piece", detail__has_key="fitted"
    ).exclude(subject=piece.subject)
    codes = {part for row in rows.only("detail") for part, _ in row.detail["fitted"]}
    return parts(piece.collection).filter(code__in=codes)

"""Reading the sockets again: what sits in them is right, and every difference is written."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from collection.catalogue.models import Piece, Position
from collection.core.events.noted import Noted
from collection.ledger.actions import open_book
from collection.ledger.book import Book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock.models import UNKNOWN, Part, PartType
from collection.stock.positions import names_in
from collection.stock.sockets.actions import FOUND, Goes, add_part, fit, take_out, today
from registry.access.models import Collection, Membership

AS_BOOK, OTHER, NOT_KNOWN, EMPTY = "as-book", "other", "unknown", "empty"
MISSING = Goes("unknown")


@dataclass(frozen=True)
class SocketSeen:
    """What somebody saw in one position: as in the book, another tube, an unknown one, none.

    `type` and `marking` of another tube, or the code of a `part` that the book knows.
    """

    position: str
    saw: str = AS_BOOK
    type: PartType | None = None
    marking: str = ""
    part: Part | None = None


@dataclass(frozen=True)
class Walk:
    """One walk along the sockets of a piece: who walks, and how the entries came."""

    collection: Collection
    by: Membership
    piece: Piece
    told: Telling

    @property
    def who(self) -> dict[str, object]:
        """The arguments every act starts with."""
        return {"collection": self.collection, "by": self.by}


def read_again(
    *,
    collection: Collection,
    by: Membership,
    piece: Piece,
    seen: Sequence[SocketSeen],
    telling: Telling | None = None,
) -> Event:
    """Write every difference from the book, in one act; returns the note that sums it up."""
    telling = telling or today(collection)
    told = Telling(telling.happened, telling.source, telling.source_note, telling.certainty)
    walk = Walk(collection, by, piece, told)
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return before
        seen = _without_what_is_there(book, walk, seen)
        differing = [one for one in seen if one.saw != AS_BOOK]
        for part, positions in _out_of_place(book, walk, differing).items():
            _missing(walk, part, positions, seen)
        for one in differing:
            if one.saw != EMPTY:
                _found(walk, one)
        words = _in_words(len(seen), differing)
        said = Telling(**(vars(telling) | {"words": f"{words} {telling.words}".strip()}))
        return book.append(Noted(), piece.code, said)


def _without_what_is_there(book: Book, walk: Walk, seen: Iterable[SocketSeen]) -> list[SocketSeen]:
    """A part that is where the book has it differs in nothing, nor does a socket known as empty."""
    taken = {name for _, place in book.state(walk.piece.code).fitted for name in names_in(place)}
    sets = _sets(walk)

    def differs_not(one: SocketSeen) -> bool:
        if one.saw == EMPTY:
            return not taken & {one.position, sets.get(one.position, one.position)}
        return one.part is not None and _sits(book, walk, one.part, one.position)

    return [SocketSeen(one.position) if differs_not(one) else one for one in seen]


def _sets(walk: Walk) -> dict[str, str]:
    chart = Position.objects.filter(circuit=walk.piece.circuit_id)
    return {one.name: one.matched_with for one in chart if one.matched_with}


def _sits(book: Book, walk: Walk, part: Part, position: str) -> bool:
    state = book.state(part.code)
    return state.fitted_in == walk.piece.code and position in names_in(state.position or "")


# -- what is not where the book has it -----------------------------------------------------------
def _out_of_place(book: Book, walk: Walk, differing: Iterable[SocketSeen]) -> dict[Part, list[str]]:
    """Parts that the book has in positions where something else or nothing was seen."""
    sets = _sets(walk)
    elsewhere = {one.part.code for one in differing if one.part is not None}
    fitted = {
        code: names_in(place)
        for code, place in book.state(walk.piece.code).fitted
        if code not in elsewhere and book.state(code).fitted_in == walk.piece.code
    }
    parts = Part.objects.of(walk.collection).filter(code__in=fitted).select_related("lot", "type")
    found: dict[Part, list[str]] = {}
    for part in parts:
        gone = [
            one.position
            for one in differing
            if {one.position, sets.get(one.position, "")} & fitted[part.code] - {""}
        ]
        if gone:
            found[part] = gone
    return found


def _missing(walk: Walk, part: Part, gone: list[str], seen: Iterable[SocketSeen]) -> None:
    """The part is out; the mates of a broken set that were seen in their places stay fitted."""
    take_out(**walk.who, piece=walk.piece.code, part=part, goes=MISSING, how=FOUND,
             telling=walk.told)  # fmt: skip
    sets = _sets(walk)
    broken = {sets[name] for name in gone if name in sets}
    for one in seen:
        if one.saw == AS_BOOK and sets.get(one.position) in broken:
            _mate(walk, part, one.position)


def _mate(walk: Walk, part: Part, position: str) -> None:
    single = add_part(
        **walk.who, type=part.type, lot=part.lot if _counted_singly(part) else None,
        marking=part.marking, origin=part.origin, telling=walk.told,
    )  # fmt: skip
    counted = {"bucket": "unexplained"} if single.lot else {}
    fit(**walk.who, piece=walk.piece, position=position, part=single, how=FOUND,
        mate_of=part.code, telling=walk.told, **counted)  # fmt: skip


def _counted_singly(part: Part) -> bool:
    return part.lot is not None and not part.lot.in_sets


# -- what sits there instead ---------------------------------------------------------------------
def _found(walk: Walk, one: SocketSeen) -> None:
    fit(**walk.who, piece=walk.piece, position=one.position, part=one.part or _new(walk, one),
        how=FOUND, telling=walk.told)  # fmt: skip


def _new(walk: Walk, one: SocketSeen) -> Part:
    return add_part(
        **walk.who, type=one.type or _nobody_knows(walk.collection), marking=one.marking,
        origin=Part.Origin.UNKNOWN, telling=walk.told,
    )  # fmt: skip


def _nobody_knows(collection: Collection) -> PartType:
    known = {"does": "nobody knows what it is"}
    return PartType.objects.get_or_create(collection=collection, code=UNKNOWN, defaults=known)[0]


def _in_words(sockets: int, differing: list[SocketSeen]) -> str:
    if not differing:
        return f"Sockets read again: all {sockets} as in the book."
    words = {OTHER: "another tube", NOT_KNOWN: "an unknown tube", EMPTY: "empty"}
    said = ", ".join(f"{one.position} {words[one.saw]}" for one in differing)
    return f"Sockets read again: {sockets - len(differing)} as in the book; {said}."

"""Out of a donor: a part leaves one piece for another, in one act, in every history."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from collection.catalogue.models import Piece
from collection.core.events.stripped_for_parts import StrippedForParts
from collection.ledger.actions import open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock.models import Part
from collection.stock.sockets.actions import DONE, Goes, add_part, replace_part, same_moment, today
from registry.access.models import Collection, Membership


@dataclass(frozen=True)
class Taken:
    """A part out of a donor and where it goes; `old` comes out of there first.

    `old_goes`: kept out with its piece unless said.
    """

    part: Part
    into: Piece | None = None
    position: str = ""
    old: Part | None = None
    old_goes: Goes | None = None


def strip(
    *,
    collection: Collection,
    by: Membership,
    donor: Piece,
    taken: Iterable[Taken],
    telling: Telling | None = None,
) -> Event:
    """Parts come out of a donor and go where they are needed, as one act in every history."""
    taken, telling = tuple(taken), telling or today(collection)
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return before
        facts = StrippedForParts(tuple(one.part.code for one in taken))
        event = book.append(facts, donor.code, telling)
        for one in taken:
            if one.into is not None:
                _move_in(collection, by, donor, one, same_moment(telling))
    return event


def _move_in(
    collection: Collection, by: Membership, donor: Piece, one: Taken, telling: Telling
) -> None:
    replace_part(
        collection=collection, by=by, piece=one.into, position=one.position, part=one.part,
        old=one.old, goes=one.old_goes or Goes("kept-out"), how=DONE, donor=donor.code,
        origin=Part.Origin.DONOR,
        telling=telling,
    )  # fmt: skip


def strip_one(
    *,
    collection: Collection,
    by: Membership,
    donor: Piece,
    part: Part | None,
    to: tuple[Piece | None, str, Part | None, Goes],
    new: Mapping[str, Any] | None = None,
    telling: Telling,
) -> Event:
    """One part out of a donor; `to`: the piece, the position, what comes out, where that goes."""
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return before
        if part is None:
            own = {"belongs_to": donor.subject, **new}
            part = add_part(collection=collection, by=by, telling=same_moment(telling), **own)
        taken = [Taken(part, *to)]
        return strip(collection=collection, by=by, donor=donor, taken=taken, telling=telling)

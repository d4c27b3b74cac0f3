"""Putting parts in and taking them out, by hand or as found."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from collection.catalogue.models import Piece
from collection.core.events.described import Described
from collection.core.events.fitted import Fitted
from collection.core.events.removed import Removed
from collection.core.state import State
from collection.ledger.actions import open_book
from collection.ledger.book import Book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock.models import Part, PartType
from collection.stock.sockets.check import DONE, FOUND, PLAN, ask, doubts_of, refuse
from registry import clock
from registry.access.models import Collection, Membership


@dataclass(frozen=True)
class Goes:
    """What becomes of a part that comes out; see `Removed`."""

    to: str = "pulled"
    grade: str = ""
    failed: str = ""


def add_part(
    *,
    collection: Collection,
    by: Membership,
    type: PartType,
    code: str = "",
    telling: Telling | None = None,
    **described: Any,
) -> Part:
    """A part of any origin with a code; `described`: fields of `Part`, none of them the lot's."""
    with open_book(collection, by) as book:
        telling = telling or today(collection)
        if before := book.sent_before(telling.once):
            return Part.objects.of(collection).get(subject=before.subject)
        subject = book.new_subject("part", code)
        part = Part.objects.create(
            subject=subject, collection=collection, code=subject.code, type=type, **described
        )
        said = (("type", type.code), ("origin", part.get_origin_display()))
        said += (("marking", part.marking),) if part.marking else ()
        book.append(Described(said=said, first=True), subject.code, telling)
    return part


def fit(
    *,
    collection: Collection,
    by: Membership,
    piece: Piece,
    position: str,
    part: Part,
    how: str = PLAN,
    because: str = "",
    telling: Telling | None = None,
    **facts: Any,
) -> Event:
    """A part goes into a position; `how`: 'plan', 'done' or 'found'; `facts`: more of `Fitted`.

    A plan with a wrong type raises PlanRefused, a risky one SayWhy unless `because` is given.
    What was done or found is written, and whatever speaks against it is asked.
    """
    doubts = doubts_of(piece, position, part.type)
    if how == PLAN:
        refuse(doubts, because)
    with open_book(collection, by) as book:
        telling = telling or today(collection)
        if before := book.sent_before(telling.once):
            return before
        known = {"origin": part.origin, **_brought(part)}
        known |= {"left": _elsewhere(book, part, piece)}
        known |= _from_the_lot(book, part, "bucket") | facts
        in_there = FOUND if how == FOUND else DONE
        said = Fitted(part.code, position, in_there, because=because, **known)
        event = book.append(said, piece.code, telling)
        if not because:
            ask(book, doubts.doubts, event, piece.code)
    return event


def take_out(
    *,
    collection: Collection,
    by: Membership,
    piece: str,
    part: Part,
    goes: Goes,
    how: str = DONE,
    telling: Telling | None = None,
) -> Event:
    """A part comes out of a piece, or is found to be out; a kept-out one stays linked to it."""
    with open_book(collection, by) as book:
        telling = telling or today(collection)
        if before := book.sent_before(telling.once):
            return before
        state = book.state(part.code)
        here = state.position or "" if state.fitted_in == piece else ""
        said = Removed(
            part=part.code, position=here, how=how, to=goes.to, grade=goes.grade,
            failed=goes.failed, **_from_the_lot(book, part),
        )  # fmt: skip
        event = book.append(said, piece, telling)
        if goes.to == "kept-out" and part.belongs_to_id is None:
            part.belongs_to = event.subject
            part.save(update_fields=["belongs_to"])
    return event


def replace_part(
    *,
    collection: Collection,
    by: Membership,
    piece: Piece,
    position: str,
    part: Part,
    old: Part | None = None,
    goes: Goes | None = None,
    telling: Telling | None = None,
    **given: Any,
) -> Event:
    """The old part out, where it is given, and the new one in, as one act."""
    if given.get("how", PLAN) == PLAN:
        refuse(doubts_of(piece, position, part.type), given.get("because", ""))
    telling = telling or today(collection)
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return before
        if old is not None and old.pk != part.pk:
            take_out(collection=collection, by=by, piece=piece.code, part=old,
                     goes=goes or Goes(), telling=same_moment(telling))  # fmt: skip
        return fit(
            collection=collection, by=by, piece=piece, position=position, part=part,
            telling=telling, **given,
        )  # fmt: skip


# -- a part that is new to the book --------------------------------------------------------------
def fit_known_or_new(
    *,
    collection: Collection,
    by: Membership,
    piece: Piece,
    part: Part | None,
    new: Mapping[str, Any] | None = None,
    telling: Telling,
    **given: Any,
) -> Event:
    """A part with a code, or one that gets its code as it goes in; a refused plan leaves none."""
    if part is None and given["how"] == PLAN:
        refuse(doubts_of(piece, given["position"], new["type"]), given["because"])
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return before
        part = part or add_part(collection=collection, by=by, telling=same_moment(telling), **new)
        if given["how"] == FOUND and given["old"] is not None:
            given["goes"] = Goes("unknown")
        return replace_part(
            collection=collection, by=by, piece=piece, part=part, telling=telling, **given
        )


# -- what else is told ---------------------------------------------------------------------------
def _elsewhere(book: Book, part: Part, piece: Piece) -> str:
    """Another piece that the book has the part in: it stands in that history as well."""
    sits_in = book.state(part.code).fitted_in
    return sits_in if sits_in and sits_in != piece.code else ""


def _brought(part: Part) -> Mapping[str, str]:
    """Hours that a part brought along; said each time, counted once."""
    said = {"hours_before": part.hours_before, "heater_before": part.heater_before}
    return {name: f"{Decimal(hours).normalize():f}" for name, hours in said.items() if hours}


def _from_the_lot(book: Book, part: Part, also: str = "") -> dict[str, Any]:
    """What moves in the counts of the lot that a part is from."""
    if part.lot is None:
        return {}
    moved: dict[str, Any] = {"lot": part.lot.code, "units": part.units}
    if also:
        moved[also] = _bucket(book.state(part.code), book.state(part.lot.code))
    return moved


def _bucket(part: State, lot: State) -> str:
    if part.fitted_in:
        return "fitted"
    if part.grade in {"kept-out", "dead", "lost"}:
        return part.grade
    if part.grade == "unknown":
        return "unexplained"
    held = (f"pulled:{part.grade}", f"tested:{part.grade}")
    return next((one for one in held if lot.count(one) > 0), "sealed")


def today(collection: Collection) -> Telling:
    """Seen today, by whoever writes."""
    return Telling(happened=clock.today(collection.zone_info).isoformat())


def same_moment(telling: Telling) -> Telling:
    """The same telling for another entry of the act: words and press belong to one."""
    return replace(telling, once=None, words="", written_at=None)

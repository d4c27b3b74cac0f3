"""Writing the stock: lots, and every act that moves units from one state to another."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from collection.catalogue.models import Piece
from collection.core.events.counted import Counted
from collection.core.events.described import Described
from collection.core.events.died_in_use import DiedInUse
from collection.core.events.found_again import FoundAgain
from collection.core.events.issued import Issued
from collection.core.events.kind import Kind
from collection.core.events.pulled import Pulled
from collection.core.events.received import Received
from collection.core.events.tested import Tested
from collection.core.events.written_off import WrittenOff
from collection.ledger.actions import open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock.models import Lot, Part, PartType
from collection.stock.sockets.check import PLAN, Fit, ask, doubts_of, refuse
from collection.stock.type_actions import add_type, change_type, choose_pull, set_outlook
from registry.access.models import Collection, Membership

__all__ = [
    "add_lot",
    "add_type",
    "change",
    "change_type",
    "choose_pull",
    "count",
    "die",
    "find_again",
    "issue",
    "pull",
    "receive",
    "set_outlook",
    "test",
    "write_off",
]

Hours = Decimal | float | int | str | None


def add_lot(
    *,
    collection: Collection,
    by: Membership,
    type: PartType,
    code: str = "",
    telling: Telling | None = None,
    **described: Any,
) -> Lot:
    """Alike parts bought together; `described`: brand, marking, origin, drawer, place, in_sets."""
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once if telling else None):
            return Lot.objects.of(collection).get(subject=before.subject)
        subject = book.new_subject("lot", code)
        lot = Lot.objects.create(
            subject=subject, collection=collection, code=subject.code, type=type, **described
        )
        told = {"type": type.code} | {name: value for name, value in described.items() if value}
        said = tuple(
            (name.replace("_", " "), "yes" if value is True else str(value))
            for name, value in told.items()
        )
        book.append(Described(said=said, first=True), subject.code, telling)
    return lot


# -- units of a lot --------------------------------------------------------------------------
def receive(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    delivery_note_units: int | None = None,
    from_whom: str = "",
    telling: Telling | None = None,
) -> Event:
    """Units of a lot arrived; what the paper says beyond that becomes a Question."""
    facts = Received(units, delivery_note_units, from_whom)
    return _append(collection, by, lot, facts, telling)


def test(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    passed: Mapping[str, int],
    failed: int,
    telling: Telling | None = None,  # noqa: PT028 - an act, not a test of pytest
) -> Event:
    """Sealed units were tried on a tester: so many good for each grade, so many dead."""
    graded = tuple((grade, good) for grade, good in passed.items() if good)
    return _append(collection, by, lot, Tested(units, graded, failed), telling)


def write_off(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    bucket: str,
    because: str = "",
    to: str = "lost",
    telling: Telling | None = None,
) -> Event:
    """Units are given up, as lost or as dead."""
    return _append(collection, by, lot, WrittenOff(units, bucket, because, to), telling)


def find_again(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    bucket: str = "sealed",
    telling: Telling | None = None,
) -> Event:
    """Units that were given up turned up."""
    return _append(collection, by, lot, FoundAgain(units, bucket), telling)


def count(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    seen: Mapping[str, int],
    telling: Telling | None = None,
) -> Event:
    """Somebody counted; the shelf is right and the difference is unexplained."""
    return _append(collection, by, lot, Counted(tuple(seen.items())), telling)


def _append(
    collection: Collection, by: Membership, lot: Lot, facts: Kind, telling: Telling | None
) -> Event:
    with open_book(collection, by) as book:
        return book.append(facts, lot.code, telling)


# -- parts in a piece ------------------------------------------------------------------------
def issue(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    grade: str = "sealed",
    piece: Piece | str = "",
    position: str = "",
    part_code: str = "",
    hours_before: Hours = None,
    how_far: str = PLAN,
    because: str = "",
    telling: Telling | None = None,
) -> Part:
    """Units leave the shelf and are fitted, as a part or set with a code of its own.

    A plan (`how_far`) with a wrong type raises PlanRefused, a risky one SayWhy unless `because` is
    given. What was done already is written, and whatever speaks against it is asked.

    A code that a part has already is that part fitted again, with the hours it has run. A
    matched set fills the position by the name of its set ('output').
    """
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once if telling else None):
            return Part.objects.of(collection).get(code=before.names["part"])
        part = Part.objects.of(collection).filter(code=part_code).first() if part_code else None
        if part is None:
            part = _new_part(book, lot, units, part_code, _text(hours_before) or "0")
        doubts = _doubts(collection, piece, position, part.type)
        if how_far == PLAN:
            refuse(doubts, because)
        hours = _text(hours_before) or book.state(part.code).hours_before
        facts = Issued(units, grade, part.code, _code(piece), position, hours, because)
        event = book.append(facts, lot.code, telling)
        if not because:
            ask(book, doubts.doubts, event, _code(piece))
    return part


def _doubts(collection: Collection, piece: Piece | str, position: str, type: PartType) -> Fit:
    """What speaks against it; a code that means no piece has no chart to ask."""
    if isinstance(piece, str):
        rows = Piece.objects.of(collection).select_related("circuit")
        found = rows.filter(code=piece).first() if piece else None
    else:
        found = piece
    return doubts_of(found, position, type) if found else Fit()


def _new_part(book, lot: Lot, units: int, code: str, hours_before: str) -> Part:
    subject = book.new_subject("part", code)
    return Part.objects.create(
        subject=subject,
        collection=lot.collection,
        code=subject.code,
        type=lot.type,
        lot=lot,
        units=units,
        marking=lot.marking,
        hours_before=hours_before,
    )


def pull(
    *,
    collection: Collection,
    by: Membership,
    part: Part,
    hours: Hours,
    grade: str,
    telling: Telling | None = None,
) -> Event:
    """A part or set comes out while still good: a reserve with a grade and hours, not a death."""
    with open_book(collection, by) as book:
        state = book.state(part.code)
        facts = Pulled(
            units=part.units,
            grade=grade,
            part=part.code,
            piece=state.fitted_in or "",
            position=state.position or "",
            hours=_text(hours),
        )
        return book.append(facts, _lot_of(part).code, telling)


def die(
    *,
    collection: Collection,
    by: Membership,
    part: Part,
    hours: Hours,
    how: str = "",
    telling: Telling | None = None,
) -> Event:
    """A part or set failed where it was fitted; a set dies with its first tube."""
    with open_book(collection, by) as book:
        state = book.state(part.code)
        facts = DiedInUse(
            units=part.units,
            part=part.code,
            piece=state.fitted_in or "",
            position=state.position or "",
            hours=_text(hours),
            how=how,
        )
        return book.append(facts, _lot_of(part).code, telling)


def change(
    *,
    collection: Collection,
    by: Membership,
    piece: Piece | str,
    position: str,
    out: Part | None,
    became: str,
    hours: Hours = None,
    how: str = "",
    lot: Lot,
    units: int,
    grade: str,
    part_code: str = "",
    telling: Telling | None = None,
    **checked: str,
) -> Part:
    """Old set out, new set in, as one act; `became`: a grade it is kept for, or 'dead'.

    `checked`: `how_far` and `because` of `issue`; a refused plan leaves the old set in.
    """
    telling = telling or Telling()
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once if telling else None):
            return Part.objects.of(collection).get(code=before.names["part"])
        same_moment = Telling(
            telling.happened, telling.source, telling.source_note, telling.certainty
        )
        took = {"collection": collection, "by": by, "part": out, "hours": hours}
        if out is not None and became == "dead":
            die(**took, how=how, telling=same_moment)
        elif out is not None:
            pull(**took, grade=became, telling=same_moment)
        return issue(
            collection=collection,
            by=by,
            lot=lot,
            units=units,
            grade=grade,
            piece=piece,
            position=position,
            part_code=part_code,
            telling=telling,
            **checked,
        )


# -- small change ----------------------------------------------------------------------------
def _lot_of(part: Part) -> Lot:
    if part.lot is None:
        raise ValueError(f"{part.code} belongs to no lot; give it one before it moves.")
    return part.lot


def _code(piece: Piece | str) -> str:
    return piece if isinstance(piece, str) else piece.code


def _text(hours: Hours) -> str:
    """Hours as the book writes decimals: '61.5', '60'; '' when nobody knows."""
    if hours in (None, ""):
        return ""
    return f"{Decimal(str(hours)).normalize():f}"

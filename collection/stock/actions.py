"""Writing the stock: parts going in and out; acts on types and lots are named here too."""

from decimal import Decimal

from collection.catalogue.models import Piece
from collection.core.events.died_in_use import DiedInUse
from collection.core.events.issued import Issued
from collection.core.events.pulled import Pulled
from collection.ledger.actions import open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock.lot_actions import add_lot, count, find_again, receive, test, write_off
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

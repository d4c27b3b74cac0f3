"""Writing loans: handed out, taken in, given back with what went along counted."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from collection.catalogue.actions import enter_piece
from collection.catalogue.models import Piece
from collection.core.events.extended import Extended
from collection.core.events.hired_back import HiredBack
from collection.core.events.hired_in import HiredIn
from collection.core.events.kind import Kind
from collection.core.events.lent import Lent
from collection.core.events.returned import Returned
from collection.core.state import State
from collection.custody.loans.models import Loan, LoanedPiece
from collection.custody.models import Party, Place
from collection.ledger.actions import as_told, open_book
from collection.ledger.book import Book
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership

STANDS_AGAINST = {
    "stolen": "is reported stolen",
    "not_found": "is not found",
    "quarantined": "is in quarantine; its gates come first",
    "sold": "is sold",
    "disposed": "is disposed of",
    "stripped": "is stripped for parts",
    "given_back": "went back to its owner",
}


@dataclass(frozen=True)
class Terms:
    """For how long, why, on whose word, and who covers it; the value in minor units."""

    reason: str
    begins_on: date
    ends_on: date
    authorised_by: str
    at: Place | None = None
    value_minor: int | None = None
    insurer: str = ""
    evidence: str = ""
    price: str = ""


@dataclass(frozen=True)
class _Agreed:
    """What a new loan is made of."""

    way: str
    party: Party
    terms: Terms
    code: str


@dataclass(frozen=True)
class Handed:
    """One piece as it is handed over: what goes along with it, and how it is."""

    code: str
    goes_with: tuple[str, ...] = ()
    condition: str = ""


@dataclass(frozen=True)
class Back:
    """One piece as it came back: pairs of what went along and 'came' or 'missing', how it is."""

    piece: Piece
    along: tuple[tuple[str, str], ...] = ()
    condition: str = ""
    at: Place | None = None
    telling: Telling = field(default_factory=Telling)


def lend(
    *,
    collection: Collection,
    by: Membership,
    pieces: Iterable[Handed],
    to: Party,
    terms: Terms,
    code: str = "",
    telling: Telling | None = None,
) -> Loan:
    """Hand pieces to somebody for a fixed time; refused with every reason that speaks against."""
    agreed = _Agreed(Loan.Way.OUT, to, terms, code)
    return _hand_over(collection, by, list(pieces), agreed, telling)


def take_in(
    *,
    collection: Collection,
    by: Membership,
    pieces: Iterable[Handed],
    of: Party,
    terms: Terms,
    hired: bool = True,
    code: str = "",
    telling: Telling | None = None,
) -> Loan:
    """Take in pieces of somebody else's, hired or borrowed, for a fixed time."""
    way = Loan.Way.HIRED if hired else Loan.Way.BORROWED
    return _hand_over(collection, by, list(pieces), _Agreed(way, of, terms, code), telling)


@dataclass(frozen=True)
class NewThing:
    """What the register has not met: its kind, what it is called, what came along, how it is."""

    kind: str
    name: str
    goes_with: tuple[str, ...] = ()
    condition: str = ""


def take_in_new(
    *,
    collection: Collection,
    by: Membership,
    thing: NewThing,
    telling: Telling | None = None,
    **agreed: Any,
) -> Loan:
    """Enter a new piece and take it in, both or neither; `agreed`: of, terms, hired."""
    with open_book(collection, by) as book:
        if telling and (before := book.sent_before(telling.once)):
            return _loan_of(book, before)
        piece = enter_piece(
            collection=collection, by=by, code="", kind=thing.kind, maker="", name=thing.name,
            goes_with=", ".join(thing.goes_with),
        )  # fmt: skip
        handed = [Handed(piece.code, thing.goes_with, thing.condition)]
        return take_in(collection=collection, by=by, pieces=handed, telling=telling, **agreed)


def _loan_of(book: Book, event: Event) -> Loan:
    return Loan.objects.of(book.collection).get(code=event.names["loan"])


def _hand_over(
    collection: Collection,
    by: Membership,
    pieces: list[Handed],
    agreed: _Agreed,
    telling: Telling | None,
) -> Loan:
    if not pieces:
        raise LedgerError("A loan needs a piece.")
    with open_book(collection, by) as book:
        telling = as_told(book, telling)
        if before := book.sent_before(telling.once):
            return _loan_of(book, before)
        if agreed.way == Loan.Way.OUT:
            _refuse(book, [handed.code for handed in pieces])
        loan = _new(book, agreed)
        for number, handed in enumerate(pieces):
            told = telling if number == 0 else Telling(happened=telling.happened)
            _add(book, loan, handed, told)
        return loan


def _new(book: Book, agreed: _Agreed) -> Loan:
    terms = agreed.terms
    if terms.ends_on < terms.begins_on:
        raise LedgerError("It would end before it begins.")
    subject = book.new_subject("loan", agreed.code)
    return Loan.objects.create(
        subject=subject,
        collection=book.collection,
        code=subject.code,
        way=agreed.way,
        party=agreed.party,
        currency=book.collection.currency,
        **vars(terms),
    )


def _add(book: Book, loan: Loan, handed: Handed, telling: Telling) -> None:
    event = book.append(_facts(loan, handed), handed.code, telling)
    LoanedPiece.objects.create(
        loan=loan,
        piece=Piece.objects.of(book.collection).get(code=handed.code),
        goes_with=list(handed.goes_with),
        condition_out=handed.condition,
        out_entry=event.sequence,
    )


def _facts(loan: Loan, handed: Handed) -> Kind:
    period = {"since": loan.begins_on.isoformat(), "until": loan.ends_on.isoformat()}
    known = {"reason": loan.reason, "loan": loan.code, "authorised_by": loan.authorised_by}
    if loan.lent:
        return Lent(to=loan.party.code, goes_with=handed.goes_with, **period, **known)
    at = loan.at.code if loan.at else ""
    return HiredIn(from_whom=loan.party.code, terms=loan.way, at=at, **period, **known)


def _refuse(book: Book, codes: Iterable[str]) -> None:
    on_the_way = Place.objects.of(book.collection).filter(kind=Place.Kind.ON_THE_WAY)
    ways = frozenset(on_the_way.values_list("code", flat=True))
    reasons = tuple(why for code in codes for why in against(code, book.state(code), ways))
    if reasons:
        raise PlanRefused(reasons)


def against(code: str, state: State, ways: frozenset[str]) -> list[str]:
    """Why a piece may not be lent, each as a sentence; `ways`: codes of shipments."""
    found = []
    if state.standing in STANDS_AGAINST:
        found.append(f"{code} {STANDS_AGAINST[state.standing]}.")
    if state.holder:
        found.append(f"{code} is with {state.holder} already; count it back first.")
    if state.place in ways:
        found.append(f"{code} is on the way, {state.place}; check its arrival first.")
    return found


@dataclass(frozen=True)
class NewEnd:
    """Another last day of a loan: why, on whose word."""

    ends_on: date
    reason: str
    authorised_by: str
    telling: Telling = field(default_factory=Telling)


def extend(*, loan: Loan, by: Membership, end: NewEnd) -> Event:
    """Another end, later or, where a day was mistyped, earlier; what is back keeps the old one."""
    with open_book(loan.collection, by) as book:
        row = Loan.objects.of(loan.collection).select_for_update().get(pk=loan.pk)
        telling = as_told(book, end.telling)
        if before := book.sent_before(telling.once):
            return before
        out = tuple(row.pieces.filter(back_entry=None).values_list("piece__code", flat=True))
        _refuse_end(row, end, out)
        said = Extended(
            end.ends_on.isoformat(), row.ends_on.isoformat(), end.reason, end.authorised_by, out
        )
        event = book.append(said, row.code, telling)
        row.ends_on = loan.ends_on = end.ends_on
        row.save(update_fields=["ends_on"])
        return event


def _refuse_end(loan: Loan, end: NewEnd, out: tuple[str, ...]) -> None:
    if not out:
        raise LedgerError(f"Everything on {loan.code} is back; lend it again.")
    if end.ends_on == loan.ends_on:
        raise LedgerError("It ends on that day already.")
    if end.ends_on < loan.begins_on:
        raise LedgerError("It would end before it begins.")


def give_back(*, loan: Loan, by: Membership, back: Back) -> Event:
    """A piece went back to whoever owns it, or came back to us; what is missing is asked."""
    with open_book(loan.collection, by) as book:
        row = loan.pieces.select_for_update().get(piece=back.piece)
        telling = as_told(book, back.telling)
        if before := book.sent_before(telling.once):
            return before
        if row.back_entry is not None:
            raise LedgerError(f"{back.piece.code} is off {loan.code} already.")
        event = book.append(_facts_back(loan, back), back.piece.code, telling)
        row.condition_in, row.back_entry = back.condition, event.sequence
        row.back_on = event.earliest or book.now.date()
        row.save(update_fields=["condition_in", "back_entry", "back_on"])
        return event


def _facts_back(loan: Loan, back: Back) -> Kind:
    at = back.at.code if back.at else ""
    if loan.lent:
        return Returned(from_whom=loan.party.code, at=at, loan=loan.code, came_with=back.along)
    return HiredBack(to=loan.party.code, at=at, loan=loan.code, went_with=back.along)

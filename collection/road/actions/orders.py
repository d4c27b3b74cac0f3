"""Writing an order: what was settled on by telephone is on the way from then on, in one act."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from collection.catalogue.actions import enter_piece
from collection.catalogue.models import Piece
from collection.custody.actions import add_party
from collection.custody.freight.actions import Way, ship
from collection.custody.freight.models import Shipment
from collection.custody.loans.actions import Handed, Terms, take_in
from collection.custody.models import Party, Place
from collection.ledger.actions import open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.road.actions.backups import choose_backup
from collection.road.candidates import Known
from collection.road.models import OutsideCandidate
from collection.road.needs import Asked
from registry import clock
from registry.access.models import Membership


@dataclass(frozen=True)
class Ordered:
    """What the telephone said: the order in words, who said yes, when it comes and by whom."""

    words: str
    authorised_by: str
    expected_at: datetime | None = None
    carrier_words: str = ""
    phone: str = ""
    until: date | None = None


def order_backup(
    *, by: Membership, asked: Asked, known: Known, ordered: Ordered, telling: Telling
) -> tuple[Event, Shipment | None]:
    """Settle on a backup; with an hour of arrival it is on the way, hired first if need be."""
    collection = by.collection
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return before, None
        if ordered.expected_at is not None:
            if ordered.expected_at <= clock.now():
                raise LedgerError("It is expected in the past; say when it will be here.")
            known = _to_travel(by, asked, known, ordered)
        event = choose_backup(
            collection=collection, by=by, asked=asked, known=known, order=ordered.words,
            authorised_by=ordered.authorised_by, telling=telling,
        )  # fmt: skip
        if ordered.expected_at is None:
            return event, None
        return event, _ship(by, asked, known.row, ordered)


def _to_travel(by: Membership, asked: Asked, known: Known, ordered: Ordered) -> Known:
    """What is going to stand at the side of the stage: an own piece, or what was hired as one."""
    row = known.row if isinstance(known.row, Piece) else _hire(by, asked, known.row, ordered)
    return replace(known, row=row, candidate=replace(known.candidate, stands="side"))


def _hire(by: Membership, asked: Asked, row: OutsideCandidate, ordered: Ordered) -> Piece:
    made = {"collection": by.collection, "by": by}
    mains = {"mains_volts": row.mains_volts, "mains_hz": row.mains_hz, "design": row.design}
    piece = enter_piece(**made, code="", kind=row.kind, maker="", name=row.name, **mains)
    today = clock.today(by.collection.zone_info)
    last = ordered.until or (asked.show.on if asked.show else today) + timedelta(days=1)
    reason = f"backup of position {asked.position}" if asked.position else "backup"
    terms = Terms(reason, today, last, ordered.authorised_by, price=row.price)
    take_in(**made, pieces=[Handed(piece.code)], of=_owner(by, row), terms=terms)
    OutsideCandidate.objects.filter(pk=row.pk).update(hired_as=piece)
    return piece


def _owner(by: Membership, row: OutsideCandidate) -> Party:
    """The firm or person on record under that name or telephone; else a new one."""
    parties = Party.objects.of(by.collection)
    known = parties.filter(name__iexact=row.held_by).first()
    if known is None and row.phone:
        known = parties.filter(phone=row.phone).first()
    return known or add_party(
        collection=by.collection, by=by, name=row.held_by, does="hires or lends out",
        phone=row.phone,
    )  # fmt: skip


def _ship(by: Membership, asked: Asked, piece: Piece, ordered: Ordered) -> Shipment:
    state = getattr(piece.subject, "state", None)
    at = state.place_id if state else None
    way = Way(
        to=asked.to,
        expected_at=ordered.expected_at,
        origin=Place.objects.of(by.collection).filter(pk=at).first(),
        carrier_words=ordered.carrier_words,
        phone=ordered.phone,
        basis="confirmed",
    )
    return ship(collection=by.collection, by=by, things=[piece.code], way=way)

"""Writing an arrival with everything that was found wrong, in one act."""

from collections.abc import Iterable
from dataclasses import dataclass

from collection.bench import actions as bench
from collection.catalogue.models import Piece
from collection.custody.freight.actions import Looked, arrive
from collection.custody.freight.models import Shipment
from collection.custody.models import Place
from collection.ledger.actions import open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Membership


@dataclass(frozen=True)
class Found:
    """What was found on one piece: how it looks, what it does wrong, whether it was powered."""

    piece: Piece
    symptom: str = ""
    tag_reason: str = ""
    powered: str = ""  # '' not yet, 'works', 'does-not'


def check_in(
    *, shipment: Shipment, by: Membership, at: Place, looked: Looked, found: Iterable[Found] = ()
) -> Event:
    """The shipment arrived; faults, tags and what was powered go into the same act."""
    with open_book(shipment.collection, by) as book:
        if before := book.sent_before(looked.telling.once):
            return before
        event = arrive(shipment=shipment, by=by, at=at, looked=looked)
        for one in found:
            _write(shipment, by, one, Telling(happened=looked.telling.happened))
        return event


def _write(shipment: Shipment, by: Membership, one: Found, telling: Telling) -> None:
    told = {"collection": shipment.collection, "by": by, "code": one.piece.code}
    if one.symptom:
        bench.fault(**told, symptom=one.symptom, telling=telling)
    if one.tag_reason:
        bench.tag_out(**told, reason=one.tag_reason, telling=telling)
    if one.powered:
        bench.inspect(**told, level="powered", result=one.powered, telling=telling)

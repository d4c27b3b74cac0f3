"""Keeping units off the shelf, and putting them back."""

from collection.catalogue.models import Piece
from collection.core.events.kept_out import KeptOut
from collection.ledger.actions import open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock.models import Lot
from registry.access.models import Collection, Membership


def keep_out(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    bucket: str = "sealed",
    because: str = "",
    piece: Piece | None = None,
    back_to: str = "",
    telling: Telling | None = None,
) -> Event:
    """Units are kept out, as an original of a piece; with `back_to` they return to the shelf."""
    facts = KeptOut(units, bucket, because, piece.code if piece else "", back_to)
    with open_book(collection, by) as book:
        return book.append(facts, lot.code, telling)

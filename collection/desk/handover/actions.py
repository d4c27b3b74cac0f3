"""Writing who took over, and what opens what."""

from datetime import datetime

from collection.core.events.handed_over import HandedOver
from collection.custody.models import Party
from collection.desk.handover.models import HeldKey
from collection.ledger.actions import as_told, open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Membership


def hand_over(
    *,
    by: Membership,
    outgoing: Party,
    incoming: Party,
    because: str = "",
    until: str = "",
    telling: Telling | None = None,
) -> Event:
    """Somebody else looks after the gear; one handover a press."""
    if outgoing == incoming:
        raise LedgerError("Nobody hands over to themselves.")
    with open_book(by.collection, by) as book:
        telling = as_told(book, telling)
        if before := book.sent_before(telling.once):
            return before
        said = HandedOver(outgoing.code, incoming.code, because, until)
        return book.append(said, book.new_subject("handover").code, telling)


def keep_key(
    *, by: Membership, now: datetime, opens: str, held_by: Party | None, where: str = ""
) -> HeldKey:
    """A key with who has it."""
    return HeldKey.objects.create(
        collection=by.collection, opens=opens, held_by=held_by, where=where, said_by=by.code,
        said_at=now,
    )  # fmt: skip


def change_key(
    *, key: HeldKey, by: Membership, now: datetime, opens: str, held_by: Party | None, where: str
) -> HeldKey:
    """It is with somebody else now, or hangs elsewhere."""
    key.opens, key.held_by, key.where = opens, held_by, where
    key.said_by, key.said_at = by.code, now
    key.save()
    return key


def drop_key(key: HeldKey) -> None:
    """It opens nothing any more."""
    key.delete()

"""Sealing the book."""

from collections.abc import Sequence

from collection.core import merkle
from collection.core.events.sealed import Sealed
from collection.ledger.actions import as_told, correct, open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.sealing.queries import Kept
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership


def seal(
    *,
    collection: Collection,
    by: Membership | str,
    held_by: Sequence[str] = (),
    went_to: str = "",
    code: str = "",
    telling: Telling | None = None,
) -> Event:
    """Write size and root of the book into it; `held_by` are codes of who is given a copy.

    The seal covers every entry before its own. Raises LedgerError for an empty book.
    """
    with open_book(collection, by) as book:
        if telling and (before := book.sent_before(telling.once)):
            return before
        book.flush()
        if book.head.size == 0:
            raise LedgerError("There is nothing to seal: the book has no entry yet.")
        root = merkle.frontier_root([bytes.fromhex(node) for node in book.head.frontier]).hex()
        said = Sealed(
            size=book.head.size, root=root, held_by=tuple(held_by), went_to=went_to.strip()
        )
        return book.append(said, book.new_subject("seal", code).code, as_told(book, telling))


def hand_over(*, kept: Kept, by: Membership, held_by: Sequence[str], went_to: str = "") -> Event:
    """Somebody else has a copy of a seal now: its entry is put right, size and root stay."""
    event = kept.event
    holders = tuple(dict.fromkeys((*kept.held_by, *held_by)))
    words = "; ".join(part for part in (kept.went_to, went_to.strip()) if part)
    return correct(
        collection=event.collection,
        by=by,
        event=event,
        facts=Sealed(kept.seal.size, kept.seal.root, holders, words).to_facts(),
        telling=Telling(happened=event.happened),
    )

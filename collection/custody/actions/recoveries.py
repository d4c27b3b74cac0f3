"""Writing a recovery: what turned up, and the gates it passes before it plays again."""

from collections.abc import Iterable

from django.core.exceptions import PermissionDenied

from collection.core.events.cleared import Cleared
from collection.core.events.recovered import Recovered
from collection.custody.queries import standing
from collection.ledger.actions import as_told, open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership


def recover(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    at: str,
    found_by: str = "",
    identity: Iterable[str] = (),
    mislaid: bool = False,
    telling: Telling | None = None,
) -> Event:
    """It turned up: into quarantine at `at`, until every gate is passed."""
    with open_book(collection, by) as book:
        theft = standing(collection, code, "stolen")
        facts = Recovered(
            incident=book.state(code).incident or "",
            at=at,
            found_by=found_by,
            identity=tuple(identity),
            mislaid=mislaid,
        )
        answers = theft.sequence if theft else None
        return book.append(facts, code, as_told(book, telling), answers=answers)


def clear_gate(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    gate: str,
    answer: str,
    because: str = "",
    evidence: Iterable[str] = (),
    telling: Telling | None = None,
) -> Event:
    """A keeper passes one gate, or says why it does not apply; the last one frees the piece."""
    if not by.keeps:
        raise PermissionDenied("Only a keeper of the collection passes the gates of a recovery.")
    with open_book(collection, by) as book:
        facts = Cleared(gate=gate, answer=answer, because=because, evidence=tuple(evidence))
        back = standing(collection, code, "recovered")
        answers = back.sequence if back else None
        return book.append(facts, code, as_told(book, telling), answers=answers)

"""Erasing a person or firm: one act, and the book says that it was done."""

from collections.abc import Iterable

from collection.core.events.redacted import PERSON, Redacted
from collection.custody.models import Party
from collection.desk.erasure.queries import beside
from collection.desk.monthly.models import SealReader
from collection.desk.post.models import Letter
from collection.ledger.actions import as_told, open_book
from collection.ledger.models import Event
from collection.ledger.redaction.actions import take_out_words
from collection.ledger.telling import Telling
from registry.access.models import Membership

NAMELESS = "Name taken out"


def erase_party(
    *,
    party: Party,
    by: Membership,
    because: str,
    entries: Iterable[int] = (),
    telling: Telling | None = None,
) -> Event:
    """Erase what is kept of them, words of the chosen entries, letters to them or naming them.

    Their code stays: title, custody and every proof hang on it. Letters that wait are not sent.
    """
    collection = party.collection
    with open_book(collection, by) as book:
        if telling and (before := book.sent_before(telling.once)):
            return before
        said = Redacted(what=PERSON, because=because)
        written = book.append(said, party.code, as_told(book, telling))
        chosen = Event.objects.of(collection).filter(sequence__in=list(entries))
        for event in chosen.select_related("subject", "collection").order_by("sequence"):
            take_out_words(event=event, by=by, because=because, person=party.code)
        _forget(party)
        return written


def _forget(party: Party) -> None:
    for row, columns in list(beside(party)):
        if isinstance(row, Letter) and row.sent_at is None:
            row.delete()  # one that is still due is written again, without the name
            continue
        for column in columns:
            setattr(row, column, NAMELESS)
        row.save(update_fields=columns)
    Letter.objects.of(party.collection).filter(party=party, sent_at=None).delete()
    Letter.objects.of(party.collection).filter(party=party).update(address="")
    SealReader.objects.of(party.collection).filter(party=party).delete()
    party.name = NAMELESS
    party.does = party.outward = party.phone = party.email = party.note = ""
    party.save()

"""Taking words out of an entry."""

from collection.core.events.redacted import WORDS, Redacted
from collection.ledger.actions import as_told, open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Membership


def take_out_words(
    *,
    event: Event,
    by: Membership,
    because: str,
    person: str = "",
    telling: Telling | None = None,
) -> Event:
    """Erase words, their salt and the note of the source, and say so in the book.

    The leaf holds only a hash of them, so it and every proof stay; no state reads words.
    Raises LedgerError where there is nothing to take out.
    """
    with open_book(event.collection, by) as book:
        if telling and (before := book.sent_before(telling.once)):
            return before
        row = Event.objects.of(event.collection).get(pk=event.pk)
        if not (row.words or row.source_note):
            raise LedgerError(f"Entry {event.sequence} has no words to take out.")
        said = Redacted(what=WORDS, because=because, entry=event.sequence, person=person)
        written = book.append(said, event.subject.code, as_told(book, telling))
        book.flush()  # the guard of the table wants to see the reason first
        Event.objects.filter(pk=event.pk).update(words="", words_salt="", source_note="")
        return written

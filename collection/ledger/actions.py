"""Writing the book: every act of the domain opens it first."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace

from django.db import transaction

from collection.core.events import facts_of
from collection.core.events.answered import Answered
from collection.core.events.asked import Asked
from collection.core.events.noted import Noted
from collection.core.events.withdrawn import Withdrawn
from collection.ledger.book import Book, opened
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership

# Roles of things that belong to the subject they were written for.
BOUND = frozenset({"fault", "part", "incident"})

_open: ContextVar[dict[int, Book] | None] = ContextVar("open_books", default=None)


@contextmanager
def open_book(collection: Collection, by: Membership | str) -> Iterator[Book]:
    """The collection's book, locked, in one transaction; one act, however many entries.

    An action called by another finds the book already open and writes into the same act.
    """
    books = _open.get() or {}
    if collection.pk in books:
        yield books[collection.pk]
        return
    with transaction.atomic():
        book = opened(collection, by)
        token = _open.set({**books, collection.pk: book})
        try:
            yield book
            book.close()
        finally:
            _open.reset(token)


def as_told(book: Book, telling: Telling | None) -> Telling:
    """How it came; an act told without any date happened today, at the moment it is written.

    The day and not the second: a time cut to seconds would stand before what was written in the
    same second, and a day that holds the moment of writing stands exactly there.
    """
    telling = telling or Telling()
    if telling.happened:
        return telling
    today = book.now.astimezone(book.collection.zone_info).date()
    return replace(telling, happened=today.isoformat())


def note(
    *,
    collection: Collection,
    by: Membership,
    subject: str,
    telling: Telling,
    about: str = "",
    odd: bool = False,
) -> Event:
    """Write one line about anything; `odd`: it is odd but normal, nobody should mend it."""
    with open_book(collection, by) as book:
        return book.append(Noted(about=about, odd=odd), subject, telling)


def ask(
    *,
    collection: Collection,
    by: Membership,
    question: str,
    about: str = "",
    telling: Telling | None = None,
) -> Event:
    """Open a Question, about a thing or about nothing in particular."""
    telling = telling or Telling(source="seen")
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return before
        code = book.new_subject("question").code
        return book.append(Asked(question=question, about=about), code, telling)


def answer(
    *, collection: Collection, by: Membership, asked: Event, text: str, telling: Telling
) -> Event:
    """Answer a Question; the answer stands no earlier than the question."""
    with open_book(collection, by) as book:
        return book.append(
            Answered(answer=text), asked.subject.code, telling, answers=asked.sequence
        )


def correct(
    *,
    collection: Collection,
    by: Membership,
    event: Event,
    facts: dict,
    telling: Telling,
    kind: str = "",
) -> Event:
    """Correct the newest entry of its line; subject and kind stay, the old text stays struck.

    `kind`: of what a withdrawn entry said, to bring it back.
    """
    with open_book(collection, by) as book:
        said = facts_of(kind or event.kind, facts, event.facts_version)
        return book.append(
            said, event.subject.code, telling, corrects=event.sequence, answers=event.answers
        )


def withdraw(*, collection: Collection, by: Membership, event: Event, because: str) -> Event:
    """Take an entry back; it stays readable and has no effect any more."""
    with open_book(collection, by) as book:
        return book.append(
            Withdrawn(because=because),
            event.subject.code,
            Telling(happened=event.happened, source="seen"),
            corrects=event.sequence,
        )


def rewrite_on(
    *, collection: Collection, by: Membership, event: Event, code: str, because: str = ""
) -> Event:
    """It was another piece: withdraw the entry and write it anew on that one, in one act."""
    with open_book(collection, by) as book:
        _refuse_to_rewrite(book, event, code)
        because = because or f"this was {code}"
        withdraw(collection=collection, by=by, event=event, because=because)
        telling = Telling(
            happened=event.happened,
            source=event.source,
            source_note=event.source_note,
            certainty=event.certainty,
            words=event.words,
        )
        return book.append(facts_of(event.kind, event.facts, event.facts_version), code, telling)


def _refuse_to_rewrite(book: Book, event: Event, code: str) -> None:
    """Raise LedgerError unless the entry means the same on the other thing."""
    book.load({code})
    other = book.known[code].subject
    if other == event.subject:
        raise LedgerError(f"The entry is about {code} already.")
    if other.kind != event.subject.kind:
        raise LedgerError(f"{code} is a {other.kind}, not a {event.subject.kind}.")
    if event.kind == "withdrawn":
        raise LedgerError("The entry has been withdrawn; there is nothing to write anew.")
    if event.answers is not None:
        raise LedgerError(f"It answers entry {event.answers}; withdraw it and write it anew.")
    if bound := sorted(BOUND & event.names.keys()):
        named = ", ".join(event.names[role] for role in bound)
        raise LedgerError(
            f"It names {named}, which belongs to {event.subject.code}; "
            "withdraw it and write it anew."
        )

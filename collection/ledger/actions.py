"""Writing the book: every act of the domain opens it first."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from django.db import transaction

from collection.core.events import facts_of
from collection.core.events.answered import Answered
from collection.core.events.asked import Asked
from collection.core.events.noted import Noted
from collection.core.events.withdrawn import Withdrawn
from collection.ledger.book import Book, opened
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership

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
            book.flush()
        finally:
            _open.reset(token)


def note(
    *, collection: Collection, by: Membership, subject: str, telling: Telling, about: str = ""
) -> Event:
    """Write one line about anything."""
    with open_book(collection, by) as book:
        return book.append(Noted(about=about), subject, telling)


def ask(*, collection: Collection, by: Membership, question: str, about: str = "") -> Event:
    """Open a Question, about a thing or about nothing in particular."""
    with open_book(collection, by) as book:
        code = book.new_subject("question").code
        return book.append(Asked(question=question, about=about), code, Telling(source="seen"))


def answer(
    *, collection: Collection, by: Membership, asked: Event, text: str, telling: Telling
) -> Event:
    """Answer a Question; the answer stands no earlier than the question."""
    with open_book(collection, by) as book:
        return book.append(
            Answered(answer=text), asked.subject.code, telling, answers=asked.sequence
        )


def correct(
    *, collection: Collection, by: Membership, event: Event, facts: dict, telling: Telling
) -> Event:
    """Correct the newest entry of its line; subject and kind stay, the old text stays struck."""
    with open_book(collection, by) as book:
        kind = facts_of(event.kind, facts, event.facts_version)
        return book.append(
            kind, event.subject.code, telling, corrects=event.sequence, answers=event.answers
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

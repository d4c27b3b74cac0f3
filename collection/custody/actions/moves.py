"""Writing where things are: what was moved, seen, and looked for in vain."""

from collection.core.events.moved import Moved
from collection.core.events.not_found import NotFound
from collection.core.events.sighted import Sighted
from collection.custody.models import Place
from collection.ledger.actions import as_told, open_book
from collection.ledger.book import Book
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership


def move(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    to: str,
    manner: str = "carried",
    holder: str = "",
    telling: Telling | None = None,
) -> Event:
    """It was put at `to`; a case or truck takes along what is in it, with one entry."""
    with open_book(collection, by) as book:
        _refuse_into_itself(book, code, to)
        facts = Moved(to=to, manner=manner, holder=holder)
        return book.append(facts, code, as_told(book, telling))


def sight(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    at: str = "",
    telling: Telling | None = None,
) -> Event:
    """Somebody saw it, where the book says or at `at`; never refused, even of a stolen piece."""
    with open_book(collection, by) as book:
        _refuse_into_itself(book, code, at)
        return book.append(Sighted(at=at), code, as_told(book, telling))


def not_found(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    looked_at: str,
    how: str = "",
    telling: Telling | None = None,
) -> Event:
    """Somebody looked for it there and it was not."""
    with open_book(collection, by) as book:
        return book.append(NotFound(looked_at=looked_at, how=how), code, as_told(book, telling))


def _refuse_into_itself(book: Book, code: str, to: str) -> None:
    row = Place.objects.of(book.collection).filter(code=to).first() if to else None
    if to and row is None:
        raise LedgerError(f"{to} is not a place of this collection.")
    if row and f"/{code}/" in row.path:
        raise PlanRefused((f"{to} is inside {code}; a thing cannot stand inside itself.",))

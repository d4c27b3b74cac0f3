"""The second signature: by somebody who did not count, from photos or after a recount."""

from collections.abc import Mapping

from collection.core.events.stocktake_signed import StocktakeSigned
from collection.core.stocktake import drawn
from collection.custody.actions.moves import not_found, sight
from collection.custody.stocktake import queries
from collection.custody.stocktake.locking import CountShut, locked
from collection.custody.stocktake.models import Stocktake
from collection.ledger.actions import as_told, open_book
from collection.ledger.book import Book
from collection.ledger.errors import PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling, tell
from registry.access.models import Membership


def sign_from_photos(
    *, stocktake: Stocktake, by: Membership, telling: Telling | None = None
) -> Event:
    """Somebody who did not count signs what the photos show."""
    if not stocktake.subject.photos.exists():
        raise CountShut("There is no photo of this count; the drawn ones are counted again.")
    with open_book(stocktake.collection, by) as book:
        if before := _signed_before(book, telling):
            return before
        row = _signable(stocktake, by)
        return book.append(
            StocktakeSigned("photos", row.list_hash), row.code, as_told(book, telling)
        )


def sign_recount(
    *,
    stocktake: Stocktake,
    by: Membership,
    there: Mapping[str, bool],
    telling: Telling | None = None,
) -> Event:
    """Somebody who did not count looks for the drawn ones again; each is seen or not found."""
    with open_book(stocktake.collection, by) as book:
        if before := _signed_before(book, telling):
            return before
        row = _signable(stocktake, by)
        codes = draw_of(row)
        if set(there) != set(codes):
            raise CountShut(f"These were drawn: {', '.join(codes)}. Say of each if it is there.")
        _write_recount(row, by, there, telling)
        missed = tuple(code for code in codes if not there[code])
        facts = StocktakeSigned("recount", row.list_hash, codes, missed)
        return book.append(facts, row.code, as_told(book, telling))


def _write_recount(
    row: Stocktake, by: Membership, there: Mapping[str, bool], telling: Telling | None
) -> None:
    given = {"collection": row.collection, "by": by}
    told = tell(happened=telling.happened) if telling else None
    for code in sorted(there):
        if there[code]:
            sight(**given, code=code, telling=told)
        else:
            how = f"recount, {row.code}"
            not_found(**given, code=code, looked_at=row.place.code, how=how, telling=told)


def draw_of(stocktake: Stocktake) -> tuple[str, ...]:
    """The codes to recount, out of all that was seen with a label."""
    seen = (*stocktake.found.get("as_expected", ()), *stocktake.found.get("other_place", ()))
    return drawn((*seen, *stocktake.found.get("too_many", ())), stocktake.list_hash)


def _signed_before(book: Book, telling: Telling | None) -> Event | None:
    return book.sent_before(telling.once) if telling else None


def _signable(stocktake: Stocktake, by: Membership) -> Stocktake:
    row = locked(stocktake)
    if row.closed_at is None:
        raise CountShut("It is not closed yet.")
    if by.code in {row.closed_by, row.done_by, *queries.counters(row)}:
        raise PlanRefused(("You counted or closed it: nobody signs their own count.",))
    if row.subject.state.condition == "signed":
        raise CountShut("It has been signed already.")
    return row

"""Doing a stocktake: begun, counted blind, done, or given up."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from collection.catalogue.actions import add_photo
from collection.catalogue.models import Photo
from collection.core.events.noted import Noted
from collection.core.stocktake import read_codes
from collection.custody.models import Place
from collection.custody.stocktake import queries
from collection.custody.stocktake.locking import CountShut, still_open
from collection.custody.stocktake.models import CountMark, Stocktake
from collection.ledger.actions import as_told, open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership


def start(
    *,
    collection: Collection,
    by: Membership,
    place: Place,
    code: str = "",
    at: datetime | None = None,
) -> Stocktake:
    """Begin to count a place with everything under it; the list is kept as it is now.

    Raises CountShut while an overlapping count runs: two lists of one shelf would contradict.
    """
    with open_book(collection, by) as book:
        if other := queries.overlapping(place):
            raise CountShut(f"{other.code} already counts {other.place.name}; join that one.")
        subject = book.new_subject("stocktake", code)
        return Stocktake.objects.create(
            subject=subject,
            collection=collection,
            code=subject.code,
            place=place,
            started_at=at or clock.now(),
            started_by=by.code,
            first_entry=book.head.size + len(book.events),
            expected=queries.expected_in(place),
        )


@dataclass(frozen=True)
class Marked:
    """What came of counting: codes new in this count, counted before, and not read as a code."""

    new: tuple[str, ...]
    again: tuple[str, ...]
    unknown: tuple[str, ...]
    late: bool


@transaction.atomic
def mark(
    *,
    stocktake: Stocktake,
    by: Membership,
    codes: str,
    at: Place | None = None,
    seen_at: datetime | None = None,
) -> Marked:
    """Count what was typed or scanned; what is added after 'done' is marked as late for ever."""
    row = still_open(stocktake)
    things = dict(queries.countable(row.collection).values_list("code", "pk"))
    read = read_codes(codes, things.keys() - {row.place.code})
    before = set(row.marks.filter(thing__isnull=False).values_list("thing__code", flat=True))
    new = tuple(code for code in read.codes if code not in before)
    late, now = row.done_at is not None, seen_at or clock.now()
    CountMark.objects.bulk_create(
        CountMark(stocktake=row, thing_id=things[code], at=at, seen_at=now, by=by.code, late=late)
        for code in new
    )
    return Marked(new, tuple(c for c in read.codes if c in before), read.unknown, late)


def mark_unlabelled(
    *, stocktake: Stocktake, by: Membership, words: str, photo: bytes | None = None, **said: Any
) -> CountMark:
    """Count something without a label: in words, with a photo; `said`: at, once, seen_at."""
    kept = picture(stocktake=stocktake, by=by, photo=photo, caption=words[:120]) if photo else None
    once = said.get("once") or None
    with transaction.atomic():
        row = still_open(stocktake)
        if once and (before := row.marks.filter(once=once).first()):
            return before
        return CountMark.objects.create(
            stocktake=row,
            words=words,
            photo=kept,
            at=said.get("at"),
            seen_at=said.get("seen_at") or clock.now(),
            by=by.code,
            late=row.done_at is not None,
            once=once,
        )


@transaction.atomic
def unmark(*, stocktake: Stocktake, mark: int) -> None:
    """Take a slip of the finger back, while the count is blind."""
    row = still_open(stocktake)
    if row.done_at is not None:
        raise CountShut("The list has been seen; what was counted stays.")
    row.marks.filter(pk=mark).delete()


@transaction.atomic
def finish(*, stocktake: Stocktake, by: Membership, at: datetime | None = None) -> Stocktake:
    """'Done counting': from now on the list may be seen, and nothing is added silently."""
    row = still_open(stocktake)
    if row.done_at is None:
        row.done_at, row.done_by = at or clock.now(), by.code
        row.save(update_fields=["done_at", "done_by"])
    return row


def give_up(*, stocktake: Stocktake, by: Membership, because: str) -> Event:
    """Leave a count without a result; the book says so, or counting again would hide the first."""
    with open_book(stocktake.collection, by) as book:
        row = still_open(stocktake)
        row.given_up_at = clock.now()
        row.save(update_fields=["given_up_at"])
        words = f"{row.code} of {row.place.code} was given up: {because}"
        return book.append(Noted(), row.code, as_told(book, Telling(words=words)))


def picture(*, stocktake: Stocktake, by: Membership, photo: bytes, caption: str = "") -> Photo:
    """A photo of the place as it was counted, for whoever signs.

    The row of the count is let go before the photo opens the book: who closes the count holds the
    book first, and the two would wait for each other.
    """
    with transaction.atomic():
        row = still_open(stocktake)
    return add_photo(
        collection=row.collection, by=by, subject=row.subject, data=photo, caption=caption
    )

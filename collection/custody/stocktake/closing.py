"""Closing a stocktake: what was seen and what was not goes into the book in one act."""

from datetime import datetime
from typing import Any

from collection.core.events.asked import Asked
from collection.core.events.not_found import NotFound
from collection.core.events.sighted import Sighted
from collection.core.events.stocktaken import Stocktaken
from collection.core.stocktake import list_hash
from collection.custody.stocktake import queries
from collection.custody.stocktake.locking import CountShut, locked
from collection.custody.stocktake.models import CountMark, Stocktake
from collection.custody.stocktake.queries import Comparison
from collection.custody.whereabouts import whereabouts
from collection.ledger.actions import as_told, open_book
from collection.ledger.book import Book
from collection.ledger.models import Event
from collection.ledger.telling import Telling, tell
from registry import clock
from registry.access.models import Membership
from registry.access.queries import member_names

GROUPS = ("as_expected", "other_place", "not_seen", "too_many", "meanwhile")


def close(
    *,
    stocktake: Stocktake,
    by: Membership,
    at: datetime | None = None,
    telling: Telling | None = None,
) -> Event:
    """Write every sighting, every `not_found`, a Question for each thing without a label.

    A sighting stands at the moment somebody counted the thing, so that a move written since stays
    the later one. Sent twice, it is written once.
    """
    with open_book(stocktake.collection, by) as book:
        row = locked(stocktake)
        if row.entry is not None:
            return Event.objects.of(row.collection).get(sequence=row.entry)
        if row.done_at is None or row.given_up_at is not None:
            raise CountShut("Somebody has to say first that the count is done.")
        found = queries.comparison(row, whereabouts(by))
        book.load({*found.things, row.place.code, row.code})
        _write_seen(book, row, found)
        _write_missed(book, row, found)
        row.list_hash = list_hash(content_of(row, found))
        told = as_told(book, telling)
        event = book.append(_facts(row, by, found), row.code, told)
        _ask(book, row, found, told)
        return _kept(row, by, found, event, at)


def content_of(stocktake: Stocktake, found: Comparison) -> dict[str, Any]:
    """What the list's hash is made of: the list, the count, who counted, a number drawn before."""
    counted = [
        [code, thing.mark.at.code if thing.mark.at else "", thing.mark.by, thing.mark.late]
        for code, thing in sorted(found.things.items())
        if thing.mark
    ]
    return {
        "purpose": "registry/stocktake",
        "stocktake": stocktake.code,
        "place": stocktake.place.code,
        "salt": stocktake.salt,
        "started_at": stocktake.started_at.isoformat(),
        "done_at": stocktake.done_at.isoformat() if stocktake.done_at else None,
        "expected": sorted([code, place] for code, place in stocktake.expected.items()),
        "counted": counted,
        "unlabelled": [mark.words for mark in found.unlabelled],
    }


def _write_seen(book: Book, row: Stocktake, found: Comparison) -> None:
    names = member_names(row.collection)
    for code, thing in sorted(found.things.items()):
        if thing.mark is None:
            continue
        at = thing.mark.at.code if thing.mark.at else ""
        if code not in row.expected:
            at = at or row.place.code
        elif code in found.groups.as_expected:
            at = ""  # the book knows the case it lies in, the counter may have said the bay
        book.append(Sighted(at=at), code, _told_of(thing.mark, book, names))


def _told_of(mark: CountMark, book: Book, names: dict[str, str]) -> Telling:
    own = mark.by == book.by
    return tell(
        happened=mark.seen_at.isoformat(timespec="seconds"),
        source="seen" if own else "told",
        source_note="" if own else f"counted by {names.get(mark.by, mark.by)}",
        words="Added after the list had been seen." if mark.late else "",
    )


def _write_missed(book: Book, row: Stocktake, found: Comparison) -> None:
    told = Telling(happened=row.done_at.isoformat(timespec="seconds"))
    facts = NotFound(looked_at=row.place.code, how=f"blind count, {row.code}")
    for code in found.groups.not_seen:
        book.append(facts, code, told)


def _facts(row: Stocktake, by: Membership, found: Comparison) -> Stocktaken:
    counted_by = queries.counters(row)
    return Stocktaken(
        place=row.place.code,
        list_hash=row.list_hash,
        expected=len(row.expected),
        unlabelled=len(found.unlabelled),
        late=found.late,
        counted_by=counted_by,
        alone=counted_by == (by.code,),
        **{name: len(getattr(found.groups, name)) for name in GROUPS},
    )


def _ask(book: Book, row: Stocktake, found: Comparison, told: Telling) -> None:
    """A Question for each thing without a label; how it came to the book stands on the count."""
    for mark in found.unlabelled:
        where = (mark.at or row.place).code
        question = f"Without a label at {where}, counted in {row.code}: {mark.words}. What is it?"
        asked = Asked(question=question, about=row.code)
        book.append(asked, book.new_subject("question").code, Telling(happened=told.happened))


def _kept(
    row: Stocktake, by: Membership, found: Comparison, event: Event, at: datetime | None
) -> Event:
    row.closed_at, row.closed_by, row.entry = at or clock.now(), by.code, event.sequence
    row.found = {name: list(getattr(found.groups, name)) for name in GROUPS}
    row.save(update_fields=["closed_at", "closed_by", "entry", "list_hash", "found"])
    return event

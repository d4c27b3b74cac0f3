"""Writing a load-out: taps by anybody at the door, one act when the count is closed."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime

from django.db import transaction

from collection.core.events.noted import Noted
from collection.core.load_out import link_ends
from collection.custody import actions as custody
from collection.custody.models import Place
from collection.ledger.actions import as_told, open_book
from collection.ledger.book import Book
from collection.ledger.errors import LedgerError
from collection.ledger.telling import Telling
from collection.road.doors import queries
from collection.road.doors.expected import load_of
from collection.road.doors.models import DoorCount, DoorTap, WalkList, WalkTick
from collection.road.models import Show
from registry.access import sharing
from registry.access.models import Collection, Membership, ShareLink

ABOUT = "load-out"
HOW = "truck-door count"
MOST_LINKS = 3  # standing at once for one count (house rule): each is a door
Counter = Membership | sharing.Guest


def start(*, show: Show, truck: Place, by: Membership, now: datetime) -> DoorCount:
    """Begin to count a load-out into a truck; the one that is open already, where there is one."""
    with open_book(show.collection, by):
        open_one = DoorCount.objects.filter(show=show, truck=truck, closed_at=None).first()
        if open_one:
            return open_one
        load = load_of(show, truck)
        if not load.tiles:
            raise LedgerError(f"Nothing belongs in {truck}: no case and no piece goes with it.")
        numbers = DoorCount.objects.filter(show=show).values_list("number", flat=True)
        return DoorCount.objects.create(
            collection=show.collection,
            show=show,
            number=max(numbers, default=0) + 1,
            truck=truck,
            tiles=[tile.as_row() for tile in load.tiles],
            opened_at=now,
            opened_by=by.code,
        )


def tap(*, count: DoorCount, code: str, by: Counter, now: datetime) -> None:
    """It is in the truck; two thumbs on one tile count it once."""
    with _open_for(count, code):
        if not queries.standing(count).filter(code=code).exists():
            DoorTap.objects.create(count=count, code=code, at=now, by=by.code)


def undo(*, count: DoorCount, code: str, by: Counter, now: datetime) -> None:
    """The tap was wrong: the tile is open again, and both stay on record."""
    with _open_for(count, code):
        queries.standing(count).filter(code=code).update(undone_at=now, undone_by=by.code)


@contextmanager
def _open_for(count: DoorCount, code: str) -> Iterator[None]:
    """The count held open for one tap: whoever closes it waits, so no tap falls between."""
    with transaction.atomic():
        row = _locked(count)
        if row.closed_at:
            raise LedgerError("The count is closed.")
        if code not in {tile["code"] for tile in row.tiles}:
            raise LedgerError(f"{code} is not on this count.")
        yield


def _locked(count: DoorCount) -> DoorCount:
    """The row as it is now, held until the transaction ends."""
    return DoorCount.objects.of(count.collection).select_for_update().get(pk=count.pk)


def close(*, count: DoorCount, by: Counter, now: datetime, missed: Iterable[str] = ()) -> DoorCount:
    """Close the count in one act: what was counted was seen in the truck.

    `missed`: what somebody says was looked for and not found; a tile that is only not tapped
    says nothing. What a guest tapped or closed is told, never seen. Closed twice, it is written
    once.
    """
    with open_book(count.collection, by) as book:
        _locked(count)  # a tap on its way is written before, or refused after
        count.refresh_from_db()
        if count.closed_at:
            return count
        seen = list(queries.standing(count))
        missed = [code for code in dict.fromkeys(missed) if code in _open_tiles(count, seen)]
        _write(book, count, by, seen, missed)
        count.closed_at, count.closed_by, count.closed_name = now, by.code, by.name
        count.missed = missed
        count.save(update_fields=["closed_at", "closed_by", "closed_name", "missed"])
        return count


def _open_tiles(count: DoorCount, seen: list[DoorTap]) -> set[str]:
    return {row["code"] for row in count.tiles} - {one.code for one in seen}


def _write(
    book: Book, count: DoorCount, by: Counter, seen: list[DoorTap], missed: list[str]
) -> None:
    where = {"collection": count.collection, "by": by}
    by_guest = isinstance(by, sharing.Guest)
    said = queries.board(count, named=False).tally.sentence()
    words = f"Load-out into {count.truck}: {said}."
    told = Telling(words=words, **_how(by.name if by_guest else ""))
    book.append(Noted(about=ABOUT), count.show.code, as_told(book, told))
    for one in seen:
        who = by.name if by_guest else one.by if one.by.startswith("guest of ") else ""
        telling = Telling(happened=one.at.isoformat(timespec="seconds"), **_how(who))
        custody.sight(**where, code=one.code, at=count.truck.code, telling=telling)
    for code in missed:
        telling = as_told(book, Telling(**_how(by.name if by_guest else "")))
        looked_at = count.show.venue.code
        custody.not_found(**where, code=code, looked_at=looked_at, how=HOW, telling=telling)


def _how(guest: str) -> dict[str, str]:
    return {"source": "told", "source_note": f"by link, {guest}"} if guest else {}


# -- links -----------------------------------------------------------------------------------
def share(*, count: DoorCount, by: Membership, label: str, now: datetime) -> tuple[ShareLink, str]:
    """A link to one count that ends the next morning, with the token that is shown once."""
    if count.closed_at:
        raise LedgerError("The count is closed; a link would open nothing to count.")
    links = queries.links_of(count).filter(revoked_at=None, expires_at__gt=now)
    if links.count() >= MOST_LINKS:
        raise LedgerError(f"{MOST_LINKS} links to this count are open; take one back first.")
    return sharing.share(
        count.collection,
        purpose=ShareLink.Purpose.DOORS,
        code=count.code,
        label=label,
        by=by,
        now=now,
        expires_at=link_ends(now, count.show.zone),
    )


def guest_of(link: ShareLink) -> sharing.Guest:
    """Who counts by a link, as the book names them."""
    show = link.code.rpartition("/")[0]
    return sharing.Guest(code=f"guest of {show}"[:32], name=link.label)


# -- the walk --------------------------------------------------------------------------------
def tick(*, show: Show, spot: str, by: Membership, now: datetime) -> None:
    """Somebody looked there; pressed twice, the first one stands."""
    if spot not in {one.words for one in queries.walked(show)}:
        raise LedgerError(f"'{spot}' is not on the list.")
    WalkTick.objects.get_or_create(show=show, spot=spot, defaults={"at": now, "by": by.code})


def untick(*, show: Show, spot: str) -> None:
    """Nobody looked there after all."""
    WalkTick.objects.filter(show=show, spot=spot).delete()


def set_walk(*, collection: Collection, spots: list[str]) -> None:
    """Say where this collection looks before it leaves."""
    WalkList.objects.update_or_create(collection=collection, defaults={"spots": spots})

"""Writing lots: what came in, and every act that moves units of one on the shelf."""

from collections.abc import Mapping
from typing import Any

from collection.core.events.counted import Counted
from collection.core.events.described import Described
from collection.core.events.found_again import FoundAgain
from collection.core.events.kind import Kind
from collection.core.events.received import Received
from collection.core.events.tested import Tested
from collection.core.events.written_off import WrittenOff
from collection.ledger.actions import open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock.models import Lot, PartType
from registry.access.models import Collection, Membership


def add_lot(
    *,
    collection: Collection,
    by: Membership,
    type: PartType,
    code: str = "",
    telling: Telling | None = None,
    **described: Any,
) -> Lot:
    """Alike parts bought together; `described`: brand, marking, origin, drawer, place, in_sets."""
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once if telling else None):
            return Lot.objects.of(collection).get(subject=before.subject)
        subject = book.new_subject("lot", code)
        lot = Lot.objects.create(
            subject=subject, collection=collection, code=subject.code, type=type, **described
        )
        told = {"type": type.code} | {name: value for name, value in described.items() if value}
        said = tuple(
            (name.replace("_", " "), "yes" if value is True else str(value))
            for name, value in told.items()
        )
        book.append(Described(said=said, first=True), subject.code, telling)
    return lot


def receive(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    delivery_note_units: int | None = None,
    from_whom: str = "",
    telling: Telling | None = None,
) -> Event:
    """Units of a lot arrived; what the paper says beyond that becomes a Question."""
    facts = Received(units, delivery_note_units, from_whom)
    return _append(collection, by, lot, facts, telling)


def test(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    passed: Mapping[str, int],
    failed: int,
    telling: Telling | None = None,  # noqa: PT028 - an act, not a test of pytest
) -> Event:
    """Sealed units were tried on a tester: so many good for each grade, so many dead."""
    graded = tuple((grade, good) for grade, good in passed.items() if good)
    return _append(collection, by, lot, Tested(units, graded, failed), telling)


def write_off(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    bucket: str,
    because: str = "",
    to: str = "lost",
    telling: Telling | None = None,
) -> Event:
    """Units are given up, as lost or as dead."""
    return _append(collection, by, lot, WrittenOff(units, bucket, because, to), telling)


def find_again(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    units: int,
    bucket: str = "sealed",
    telling: Telling | None = None,
) -> Event:
    """Units that were given up turned up."""
    return _append(collection, by, lot, FoundAgain(units, bucket), telling)


def count(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    seen: Mapping[str, int],
    telling: Telling | None = None,
) -> Event:
    """Somebody counted; the shelf is right and the difference is unexplained."""
    return _append(collection, by, lot, Counted(tuple(seen.items())), telling)


def _append(
    collection: Collection, by: Membership, lot: Lot, facts: Kind, telling: Telling | None
) -> Event:
    with open_book(collection, by) as book:
        return book.append(facts, lot.code, telling)

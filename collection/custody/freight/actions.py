"""Writing freight: handed to a carrier, and what arrived of it."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

from collection.core.events.arrived import Arrived
from collection.core.events.noted import Noted
from collection.core.events.shipped import Shipped
from collection.core.freight import ARRIVED
from collection.custody.freight.models import Shipment
from collection.custody.freight.queries import in_cases, still_in
from collection.custody.models import Party, Place
from collection.custody.queries import inside_path
from collection.ledger.actions import as_told, open_book
from collection.ledger.book import Book
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership


@dataclass(frozen=True)
class Way:
    """By whom, from when until when, over which borders, with what that needs care."""

    to: Place
    expected_at: datetime
    left_at: datetime | None = None
    origin: Place | None = None
    carrier: Party | None = None
    carrier_words: str = ""
    phone: str = ""
    waybill: str = ""
    basis: str = "quoted"
    crosses: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Looked:
    """What was seen at the door: how long it warmed, the case, the indicator, what was wrong."""

    came: tuple[str, ...]
    others: tuple[str, ...] = ()
    waited_minutes: int | None = None
    outside: str = ""
    indicator: str = ""
    telling: Telling = field(default_factory=Telling)


def ship(
    *,
    collection: Collection,
    by: Membership,
    things: Iterable[str],
    way: Way,
    code: str = "",
    telling: Telling | None = None,
) -> Shipment:
    """Hand pieces and cases to whoever brings them; until they arrive they are nowhere else."""
    codes = tuple(dict.fromkeys(things))
    if not codes:
        raise LedgerError("A shipment needs something that is shipped.")
    with open_book(collection, by) as book:
        telling = as_told(book, telling)
        if before := book.sent_before(telling.once):
            return Shipment.objects.of(collection).get(code=before.subject.code)
        _refuse_twice(book, codes)
        subject = book.new_subject("shipment", code)
        _stand_for(subject, way)
        event = book.append(_facts(book, codes, way), subject.code, telling)
        return _keep(event, codes, way, left_at=way.left_at or book.now)


def _refuse_twice(book: Book, codes: Iterable[str]) -> None:
    for code in codes:
        at = book.state(code).place
        row = Place.objects.of(book.collection).filter(code=at).first() if at else None
        if row is not None and row.kind == Place.Kind.ON_THE_WAY:
            raise PlanRefused((f"{code} is on the way already: {at}. Check its arrival first.",))


def _stand_for(subject, way: Way) -> Place:
    """The place that holds what is on the way; as private as where it comes from or goes."""
    private = any(place.private for place in (way.to, way.origin) if place)
    place = Place(subject=subject, collection=subject.collection, code=subject.code)
    place.name, place.kind, place.private = f"on the way to {way.to.name}", "way", private
    place.path = inside_path(place)
    place.save(force_insert=True)
    return place


def _facts(book: Book, codes: tuple[str, ...], way: Way) -> Shipped:
    zone = ZoneInfo(way.to.nearest("zone") or book.collection.zone)
    return Shipped(
        to=way.to.code,
        things=codes,
        inside=in_cases(book.collection, codes),
        origin=way.origin.code if way.origin else "",
        carrier=way.carrier.code if way.carrier else "",
        carrier_words=way.carrier_words,
        waybill=way.waybill,
        expected=way.expected_at.astimezone(zone).isoformat(timespec="minutes"),
        crosses=way.crosses,
        cautions=way.cautions,
    )


def _keep(event: Event, codes: tuple[str, ...], way: Way, *, left_at: datetime) -> Shipment:
    if way.expected_at <= left_at:
        raise LedgerError("It would arrive before it leaves.")
    said = vars(way) | {"left_at": left_at, "crosses": list(way.crosses)}
    return Shipment.objects.create(
        subject=event.subject,
        collection=event.collection,
        code=event.subject.code,
        things=list(codes),
        entry=event.sequence,
        **(said | {"cautions": list(way.cautions)}),
    )


def arrive(*, shipment: Shipment, by: Membership, at: Place, looked: Looked) -> Event:
    """What came and how it looked; what did not come stays on the way and is asked about."""
    with open_book(shipment.collection, by) as book:
        telling = as_told(book, looked.telling)
        if before := book.sent_before(telling.once):
            return before
        waiting = still_in(shipment)
        missing = tuple(code for code in waiting if code not in looked.came)
        facts = Arrived(
            at=at.code,
            things=looked.came,
            inside=in_cases(book.collection, looked.came),
            missing=missing,
            others=looked.others,
            waited_minutes=looked.waited_minutes,
            outside=looked.outside,
            indicator=looked.indicator,
        )
        return book.append(facts, shipment.code, telling, answers=shipment.entry)


def expect(
    *, shipment: Shipment, by: Membership, at: datetime, why: str, once: str = ""
) -> Shipment:
    """It is expected at another time; the book keeps who said so, once for one press."""
    if at <= shipment.left_at:
        raise LedgerError("It would arrive before it left.")
    with open_book(shipment.collection, by) as book:
        if book.sent_before(once):
            return shipment
        if book.state(shipment.code).condition == ARRIVED:
            raise LedgerError(f"{shipment.code} has arrived already.")
        shipment.expected_at = at
        shipment.save(update_fields=["expected_at"])
        said = f"Now expected {at.astimezone(shipment.zone):%a %-d %b %H:%M}. {why}".strip()
        told = as_told(book, Telling(words=said, source="told", once=once or None))
        book.append(Noted(), shipment.code, told)
        return shipment

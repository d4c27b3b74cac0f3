"""Writing hours on that were no show: rehearsals, bench sessions, what was left on."""

from collections.abc import Iterable

from collection.core.events.played import LEFT_ON, Played
from collection.ledger.actions import open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.road.models import Session
from registry import clock
from registry.access.models import Collection, Membership


def log_session(
    *,
    collection: Collection,
    by: Membership,
    kind: str,
    pieces: Iterable[str],
    heater_hours: str = "",
    ht_hours: str = "",
    telling: Telling | None = None,
) -> Event:
    """Pieces ran for some hours; the parts in them have run as long."""
    today = clock.today(collection.zone_info)
    telling = telling or Telling(happened=today.isoformat())
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return before
        subject = book.new_subject("session")
        facts = Played(
            pieces=tuple(dict.fromkeys(pieces)), heater_hours=heater_hours, ht_hours=ht_hours,
            session=kind,
        )  # fmt: skip
        event = book.append(facts, subject.code, telling)
        Session.objects.create(
            subject=subject, collection=collection, code=subject.code, kind=kind,
            on=event.earliest or today,
        )  # fmt: skip
    return event


def left_on(
    *,
    collection: Collection,
    by: Membership,
    pieces: Iterable[str],
    hours: str,
    telling: Telling | None = None,
) -> Event:
    """Heaters stayed on without anybody playing: hours on one clock only."""
    return log_session(
        collection=collection, by=by, kind=LEFT_ON, pieces=pieces, heater_hours=hours,
        telling=telling,
    )  # fmt: skip

"""What an entry says: its kind's record, and its day."""

from datetime import date

from collection.core.events import facts_of
from collection.core.events.kind import Kind
from collection.core.partial_date import PartialDate
from collection.core.wording import day
from collection.ledger.models import Event


def facts_said(event: Event) -> Kind:
    """The facts of an entry, raised to today's version."""
    return facts_of(event.kind, event.facts, event.facts_version)


def day_of(event: Event) -> date | None:
    """The day of an entry, where exactly one is known."""
    known = event.earliest and event.earliest == event.latest
    return event.earliest if known else None


def day_said(event: Event) -> str:
    """Its day with the weekday, or its date in words."""
    if known := day_of(event):
        return day(known, today=None)
    return PartialDate.parse(event.happened).sentence() if event.happened else "date not known"

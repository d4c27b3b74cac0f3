"""Plain builders of entries for core tests: no database, every date and number given."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from collection.core.entry import Entry, Placed, to_us
from collection.core.events.kind import Kind, Moment
from collection.core.state import Proof, State

BERGEN = ZoneInfo("Europe/Oslo")
BY = "M-INES"
DAY = "2026-11-24"


def utc(text: str) -> datetime:
    """An aware instant from text without a suffix."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def entry(facts: Kind, number: int, happened: str = "", **changes: Any) -> Entry:
    """An entry of `facts` about A-007, recorded at noon on 1 December 2026 unless said."""
    values: dict[str, Any] = {
        "subject": "A-007",
        "recorded_at": utc("2026-12-01T12:00:00"),
        "recorded_by": BY,
        "names": facts.names(),
    }
    values.update(changes)
    kind = type(facts).kind
    return Entry(number=number, kind=kind, facts=facts.to_facts(), happened=happened, **values)


def moment(facts: Kind, number: int = 9, day: str = DAY) -> Moment:
    """The moment of an entry placed at local noon of a day, or before everything."""
    placed_us = -1
    if day:
        noon = datetime.combine(date.fromisoformat(day), datetime.min.time().replace(hour=12))
        placed_us = to_us(noon.replace(tzinfo=BERGEN))
    return Moment(Placed(entry(facts, number, day), number, placed_us), day)


def after(facts: Kind, state: State | None = None, role: str = "subject", **where: Any) -> State:
    """The state of the thing in `role` after the facts, as entry 9 on DAY unless said."""
    return facts.after(role, state or State(), moment(facts, **where))


def proven(level: Any = "played-hot", on: str = "2026-11-20", entry: int = 3) -> State:
    """A piece with one good proof."""
    return State().proved(Proof(level, on, entry, "show"))


def round_trip(facts: Kind) -> Kind:
    """The facts written into the book and read again."""
    return type(facts).from_facts(facts.to_facts())

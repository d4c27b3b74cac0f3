"""Derived rows: states and the places of entries, made from the entries of a subject."""

from collections.abc import Iterable
from typing import Any

from collection.core.chronology import in_order, places
from collection.core.entry import UNKNOWN_US, Placed, from_us
from collection.core.fold import fold
from collection.core.state import State as Known
from collection.core.state import to_json
from collection.ledger.leaf import to_entry
from collection.ledger.models import Event, Mention, State, Subject
from collection.ledger.rows import upsert

COLUMNS = [
    "standing",
    "place_id",
    "holder_id",
    "owner_id",
    "tagged_out",
    "powered_on",
    "played_hot_on",
    "bench_checked_on",
    "open_faults",
    "told_works",
    "seen_at",
    "condition",
    "last_placed_us",
    "last_entry",
    "detail",
]


def histories(subject: Subject) -> list[Event]:
    """Every entry of every correction line in which the subject is named, by number."""
    # By way of the mentions alone: told the collection as well, SQLite reads all its entries.
    named = Mention.objects.filter(subject=subject).values("entry")
    entries = Event.objects.filter(pk__in=named).select_related("subject")
    found = {e.sequence: e for e in entries}
    while True:
        targets = {e.corrects for e in found.values() if e.corrects is not None} - found.keys()
        # Two questions and no OR: with one, SQLite reads every entry of the collection.
        joined = [*_entries(subject).filter(corrects__in=found)]
        joined += _entries(subject).filter(sequence__in=targets) if targets else ()
        more = [e for e in joined if e.sequence not in found]
        if not more:
            return sorted(found.values(), key=lambda e: e.sequence)
        found.update({e.sequence: e for e in more})


def _entries(subject: Subject):
    return Event.objects.of(subject.collection).select_related("subject").distinct()


def ordered(subject: Subject, events: Iterable[Event] | None = None) -> list[Placed]:
    """The effective entries of a subject in order of happening."""
    rows = histories(subject) if events is None else list(events)
    return in_order(**_known(subject, rows))


def placed_by_number(subject: Subject, rows: list[Event]) -> dict[int, int]:
    """Where each entry of a subject's histories stands, by its number; struck ones included."""
    line_of = _firsts(rows)
    at_us = {line.first_number: line.placed_us for line in places(**_known(subject, rows))}
    return {number: at_us[first] for number, first in line_of.items()}


def _known(subject: Subject, rows: list[Event]) -> dict[str, Any]:
    entries = [to_entry(e, e.subject.code) for e in rows]
    return {
        "entries": entries,
        "zone": subject.collection.zone_info,
        "answered_us": _answered_us(subject, rows),
    }


def _answered_us(subject: Subject, rows: list[Event]) -> dict[int, int]:
    """Places of entries answered from here that name other subjects only."""
    answered = {e.answers for e in rows if e.answers is not None} - {e.sequence for e in rows}
    if not answered:
        return {}
    found = Event.objects.of(subject.collection).filter(sequence__in=answered)
    return dict(found.values_list("sequence", "placed_us"))


def refold(subject: Subject, events: Iterable[Event] | None = None) -> tuple[Known, Placed | None]:
    """A subject's state from its whole history, with its last effective entry."""
    placed = ordered(subject, events)
    known = fold(placed, subject.code, subject.collection.zone_info)
    return known, placed[-1] if placed else None


def place_again(subject: Subject) -> bool:
    """Write the placed dates of a subject's entries and mentions anew; whether any was wrong."""
    rows = histories(subject)
    at_us = placed_by_number(subject, rows)
    moved = [event for event in rows if event.placed_us != at_us[event.sequence]]
    for event in moved:
        at = at_us[event.sequence]
        Event.objects.filter(pk=event.pk).update(placed_us=at)
        Mention.objects.filter(entry=event).update(placed_us=at)
    return bool(moved)


def _firsts(rows: Iterable[Event]) -> dict[int, int]:
    firsts: dict[int, int] = {}
    for event in rows:
        before = event.corrects
        firsts[event.sequence] = event.sequence if before is None else firsts.get(before, before)
    return firsts


def row_of(
    subject: Subject, known: Known, *, at_us: int, number: int, ids: dict[str, int]
) -> State:
    """The State row of a subject; `ids` maps the codes it points at to their subjects."""
    seen = known.seen
    return State(
        subject=subject,
        collection_id=subject.collection_id,
        standing=known.standing,
        place_id=ids.get(known.place or ""),
        holder_id=ids.get(known.holder or ""),
        owner_id=ids.get(known.owner or ""),
        tagged_out=known.tag is not None and not known.tag.proposed,
        powered_on=known.latest("powered"),
        played_hot_on=known.latest("played-hot"),
        bench_checked_on=known.latest("bench-checked"),
        open_faults=len(known.open_faults),
        told_works=known.told_works,
        seen_at=from_us(seen.at_us) if seen and seen.at_us != UNKNOWN_US else None,
        condition=known.condition,
        last_placed_us=at_us,
        last_entry=number,
        detail=to_json(known),
    )


def state_of(
    subject: Subject, ids: dict[str, int], events: Iterable[Event] | None = None
) -> State | None:
    """The State row that a subject's whole history makes; None when it has none."""
    known, last = refold(subject, events)
    if last is None:
        return None
    return row_of(subject, known, at_us=last.placed_us, number=last.entry.number, ids=ids)


def differ(one: State, other: State) -> bool:
    """Whether two rows of a subject say different things."""
    columns = ("collection_id", *COLUMNS)
    return any(getattr(one, name) != getattr(other, name) for name in columns)


def pointed_at(known: Known) -> set[str]:
    """Codes a state's columns point at."""
    return {code for code in (known.place, known.holder, known.owner) if code}


def keep(states: Iterable[State]) -> None:
    """Write State rows, over the old ones where there are."""
    upsert(list(states), "subject_id", COLUMNS)

"""Derived rows: states and the places of entries, made from the entries of a subject."""

from collections.abc import Iterable

from collection.core.chronology import in_order
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
    rows = histories(subject) if events is None else events
    entries = [to_entry(e, e.subject.code) for e in rows]
    return in_order(entries, zone=subject.collection.zone_info)


def refold(subject: Subject) -> tuple[Known, Placed | None]:
    """A subject's state from its whole history, with its last effective entry."""
    placed = ordered(subject)
    known = fold(placed, subject.code, subject.collection.zone_info)
    return known, placed[-1] if placed else None


def place_again(subject: Subject) -> None:
    """Write the placed dates of a subject's entries and mentions anew after a correction."""
    rows = histories(subject)
    first_of = _firsts(rows)
    places = {p.first_number: p.placed_us for p in ordered(subject, rows)}
    for event in rows:
        at = places.get(first_of[event.sequence], event.placed_us)
        if event.placed_us != at:
            Event.objects.filter(pk=event.pk).update(placed_us=at)
            Mention.objects.filter(entry=event).update(placed_us=at)


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


def pointed_at(known: Known) -> set[str]:
    """Codes a state's columns point at."""
    return {code for code in (known.place, known.holder, known.owner) if code}


def keep(states: Iterable[State]) -> None:
    """Write State rows, over the old ones where there are."""
    upsert(list(states), "subject_id", COLUMNS)

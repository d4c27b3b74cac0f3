"""What the book says of many things at a past moment, read together."""

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import QuerySet

from collection.core.entry import Placed
from collection.core.fold import fold
from collection.core.state import State as Known
from collection.ledger.leaf import to_entry
from collection.ledger.models import Event, Mention, Subject
from registry.access.models import Collection


def states_at(
    collection: Collection, subjects: QuerySet[Subject], at_us: int, *, without: Iterable[str] = ()
) -> dict[int, Known]:
    """The state of each subject at a moment, by its key; five queries whatever the number.

    `without`: kinds of entry left out, for readers who ask for what those never change.
    """
    rows = _entries(collection, subjects, set(without))
    lines = _lines(rows.values())
    first_of = {event.sequence: first for first, line in lines.items() for event in line}
    named = Mention.objects.filter(subject__in=subjects).values_list("subject", "entry__sequence")
    wanted: dict[int, set[int]] = defaultdict(set)
    for subject, number in named:
        if number in first_of:
            wanted[subject].add(first_of[number])
    placed = {first: _placed(first, line) for first, line in lines.items()}
    return {
        row.pk: fold(
            _until([placed[first] for first in wanted[row.pk]], at_us),
            row.code,
            collection.zone_info,
        )
        for row in subjects
    }


def _entries(
    collection: Collection, subjects: QuerySet[Subject], without: set[str]
) -> dict[int, Event]:
    """Entries that name a subject, and the rest of their correction lines."""
    every = Event.objects.of(collection).select_related("subject")
    mentions = Mention.objects.filter(subject__in=subjects).values("entry")
    rows = {e.sequence: e for e in every.filter(pk__in=mentions).exclude(kind__in=without)}
    # Corrections are few in any book; the ones that belong here are picked out by their lines.
    corrections = {e.sequence: e for e in every.filter(corrects__isnull=False)}
    targets = {e.corrects for e in corrections.values()} - rows.keys() - corrections.keys()
    corrected = {e.sequence: e for e in every.filter(sequence__in=targets)} if targets else {}
    return rows | corrections | corrected


def _lines(rows: Iterable[Event]) -> dict[int, list[Event]]:
    lines: dict[int, list[Event]] = {}
    first_of: dict[int, int] = {}
    for event in sorted(rows, key=lambda e: e.sequence):
        before = event.corrects
        first = event.sequence if before is None else first_of.get(before, before)
        first_of[event.sequence] = first
        lines.setdefault(first, []).append(event)
    return lines


def _placed(first: int, line: list[Event]) -> Placed:
    last = line[-1]
    return Placed(to_entry(last, last.subject.code), first, last.placed_us)


def _until(placed: list[Placed], at_us: int) -> list[Placed]:
    """Effective entries that had happened by then, in their order."""
    kept = [p for p in placed if p.placed_us <= at_us and p.entry.kind != "withdrawn"]
    return sorted(kept, key=lambda p: (p.placed_us, p.first_number))

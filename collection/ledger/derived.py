"""Rows made from the entries: compared with what they should be, and made again."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import islice

from django.db import transaction

from collection.core import merkle
from collection.core.partial_date import PartialDate
from collection.ledger import projection, rows
from collection.ledger.book import BRANCH
from collection.ledger.models import Branch, Event, Mention, State, Subject
from registry.access.models import Collection

CHUNK = 2000
REBUILD = "manage.py rebuild makes it again"


@dataclass(frozen=True)
class Misfit:
    """The first thing that does not fit: the entry's number, where there is one, and why."""

    entry: int | None
    reason: str


# -- compared --------------------------------------------------------------------------------
def misfits(collection: Collection, size: int) -> list[Misfit]:
    """The first derived row that is not what the first `size` entries say, if there is one."""
    return list(islice(_misfits(collection, size), 1))


def _misfits(collection: Collection, size: int) -> Iterator[Misfit]:
    for start in range(0, size, CHUNK):
        events = list(_entries(collection, start))
        yield from _dates(events)
        yield from _mentions(events)
    yield from _places_and_states(collection)


def _dates(events: list[Event]) -> Iterator[Misfit]:
    for event in events:
        if (event.earliest, event.latest) != _bounds(event.happened):
            reason = f"the days kept beside its date are not those of '{event.happened}'"
            yield Misfit(event.sequence, f"{reason}; {REBUILD}")


def _mentions(events: list[Event]) -> Iterator[Misfit]:
    found: dict[int, dict[str, tuple[str, int]]] = {event.pk: {} for event in events}
    kept = Mention.objects.filter(entry__in=events).values_list(
        "entry_id", "role", "subject__code", "placed_us"
    )
    for entry, role, code, placed_us in kept:
        found[entry][role] = (code, placed_us)
    for event in events:
        named = {role: (code, event.placed_us) for role, code in _named(event).items()}
        if found[event.pk] != named:
            yield Misfit(event.sequence, f"its mentions are not what it names; {REBUILD}")


def _places_and_states(collection: Collection) -> Iterator[Misfit]:
    subjects = Subject.objects.of(collection)
    ids = dict(subjects.values_list("code", "pk"))
    for subject in subjects.select_related("state").order_by("pk").iterator(CHUNK):
        subject.collection = collection
        if _misfit(subject, ids):
            # Somebody may have written while it was read: looked at again with the book locked.
            with transaction.atomic():
                rows.locked_head(collection)
                again = subjects.select_related("state").get(pk=subject.pk)
                again.collection = collection
                if misfit := _misfit(again, dict(subjects.values_list("code", "pk"))):
                    yield misfit


def _misfit(subject: Subject, ids: dict[str, int]) -> Misfit | None:
    events = projection.histories(subject)
    at_us = projection.placed_by_number(subject, events)
    for event in events:
        if event.placed_us != at_us[event.sequence]:
            return Misfit(event.sequence, f"it does not stand where its date puts it; {REBUILD}")
    kept = getattr(subject, "state", None)  # before: a row made of a subject takes its place
    made = projection.state_of(subject, ids, events)
    if made is None and kept is None:
        return None
    if made is None or kept is None or projection.differ(made, kept):
        reason = f"the state of {subject.code} is not what its entries say; {REBUILD}"
        return Misfit(made.last_entry if made else None, reason)
    return None


# -- made again ------------------------------------------------------------------------------
@transaction.atomic
def rebuild(collection: Collection) -> int:
    """Make dates, mentions, places, states and branches again; returns the number of subjects."""
    rows.locked_head(collection)
    subjects = list(Subject.objects.of(collection))
    for subject in subjects:
        subject.collection = collection
    Mention.objects.filter(subject__collection=collection).delete()
    _dates_and_mentions_again(collection, {subject.code: subject for subject in subjects})
    # An answer stands no earlier than what it answers, which another history may hold.
    while sum(projection.place_again(subject) for subject in subjects):
        pass
    _states_again(subjects)
    _branches_again(collection)
    return len(subjects)


def _dates_and_mentions_again(collection: Collection, by_code: dict[str, Subject]) -> None:
    start = 0
    while events := list(_entries(collection, start)):
        for event in events:
            earliest, latest = _bounds(event.happened)
            if (event.earliest, event.latest) != (earliest, latest):
                Event.objects.filter(pk=event.pk).update(earliest=earliest, latest=latest)
        Mention.objects.bulk_create(
            Mention(subject=by_code[code], entry=event, role=role, placed_us=event.placed_us)
            for event in events
            for role, code in _named(event).items()
        )
        start += CHUNK


def _states_again(subjects: list[Subject]) -> None:
    ids = {subject.code: subject.pk for subject in subjects}
    made = [projection.state_of(subject, ids) for subject in subjects]
    State.objects.filter(subject__in=subjects).delete()
    projection.keep(state for state in made if state is not None)


def _branches_again(collection: Collection) -> None:
    leaves = [
        bytes.fromhex(leaf)
        for leaf in Event.objects.of(collection).order_by("sequence").values_list("leaf", flat=True)
    ]
    Branch.objects.of(collection).delete()
    Branch.objects.bulk_create(
        Branch(
            collection=collection,
            number=number,
            root=merkle.root(leaves[number * BRANCH : (number + 1) * BRANCH]).hex(),
        )
        for number in range(len(leaves) // BRANCH)
    )


# -- both ------------------------------------------------------------------------------------
def _entries(collection: Collection, start: int):
    """A chunk of entries from a number on."""
    found = Event.objects.of(collection).filter(sequence__gte=start, sequence__lt=start + CHUNK)
    return found.select_related("subject").order_by("sequence")


def _named(event: Event) -> dict[str, str]:
    return {"subject": event.subject.code, **event.names}


def _bounds(happened: str) -> tuple[date | None, date | None]:
    when = PartialDate.parse(happened) if happened else None
    return (when.earliest, when.latest) if when else (None, None)

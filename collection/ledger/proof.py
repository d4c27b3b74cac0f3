"""Checking a book from its contents, and making its derived rows again."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import QuerySet

from collection.core import merkle
from collection.core.state import to_json
from collection.ledger import projection
from collection.ledger.book import BRANCH
from collection.ledger.leaf import hash_words, leaf_of
from collection.ledger.models import Branch, Event, Head, Mention, State, Subject
from registry.access.models import Collection

CHUNK = 2000


@dataclass(frozen=True)
class Misfit:
    """The first thing that does not fit: the entry's number, where there is one, and why."""

    entry: int | None
    reason: str


@dataclass(frozen=True)
class Verdict:
    """What came of checking a book."""

    size: int
    root: str
    misfits: tuple[Misfit, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def fits(self) -> bool:
        """Whether nothing in the book is other than it was written."""
        return not self.misfits


def verify(collection: Collection) -> Verdict:
    """Check every entry against its leaf, the leaves against the root, derived rows anew.

    Proves nothing against somebody who can rewrite the whole database: for that a root kept
    elsewhere is needed.
    """
    head = Head.objects.of(collection).first()
    size = head.size if head else 0
    misfits, warnings, leaves = _entries(collection)
    if len(leaves) < size:
        misfits.append(Misfit(len(leaves), f"the book ends here, but {size} entries were written"))
    frontier = tuple(bytes.fromhex(node) for node in head.frontier) if head else ()
    root = merkle.root(leaves)
    if not misfits and root != merkle.frontier_root(frontier):
        misfits.append(Misfit(None, "the leaves do not lead to the root that was kept"))
    misfits += _branches(collection, leaves)
    misfits += _derived(collection) if not misfits else []
    return Verdict(len(leaves), root.hex(), tuple(misfits), tuple(warnings))


def root_of(collection: Collection) -> tuple[int, str]:
    """Size and root of a book as its head keeps them."""
    head = Head.objects.of(collection).first()
    if head is None:
        return 0, merkle.root([]).hex()
    return head.size, merkle.frontier_root([bytes.fromhex(n) for n in head.frontier]).hex()


def _entries(collection: Collection) -> tuple[list[Misfit], list[str], list[bytes]]:
    misfits: list[Misfit] = []
    warnings: list[str] = []
    leaves: list[bytes] = []
    before = None
    for number, event in enumerate(_readable(collection)):
        if isinstance(event, Misfit):
            return (misfits or [event]), warnings, leaves
        leaves.append(_leaf_bytes(event.leaf))
        if not misfits and (reason := _misfit(number, event, collection)):
            misfits.append(Misfit(event.sequence, reason))
        if before and event.recorded_at < before:
            warnings.append(f"entry {event.sequence} is dated before the one it follows")
        before = event.recorded_at
    return misfits, warnings, leaves


def _in_sequence(collection: Collection) -> Iterator[Event]:
    rows = Event.objects.of(collection).select_related("subject").order_by("sequence")
    return rows.iterator(chunk_size=CHUNK)


def _readable(collection: Collection) -> Iterator[Event | Misfit]:
    """Entries in sequence; where one cannot even be read, a Misfit that names it, then no more."""
    rows = Event.objects.of(collection).select_related("subject").order_by("sequence")
    numbers = list(rows.values_list("sequence", flat=True))
    for start in range(0, len(numbers), CHUNK):
        part = numbers[start : start + CHUNK]
        try:
            yield from list(rows.filter(sequence__range=(part[0], part[-1])))
        except ValueError:
            yield from _one_by_one(rows, part)
            return


def _one_by_one(rows: QuerySet[Event], numbers: list[int]) -> Iterator[Event | Misfit]:
    for number in numbers:
        try:
            yield rows.get(sequence=number)
        except ValueError as error:
            yield Misfit(number, f"its contents cannot be read ({error})")
            return


def _leaf_bytes(leaf: str) -> bytes:
    """A leaf's bytes; something that is no hash stands as bytes that fit nothing."""
    try:
        return bytes.fromhex(leaf)
    except ValueError:
        return leaf.encode()[:32].ljust(32)


def _misfit(number: int, event: Event, collection: Collection) -> str:
    if event.sequence != number:
        return f"entry {number} is missing"
    if event.subject.collection_id != collection.pk:
        return "its subject belongs to another collection"
    erased = event.words_hash and not (event.words or event.source_note)
    if erased and not _redacted(event):
        return "its words are gone and no entry says that they were taken out"
    if not erased and hash_words(event) != event.words_hash:
        return "its words are not the ones that were written"
    try:
        made = leaf_of(event, collection, event.subject.code).hex()
    except ValueError as error:
        return f"its contents cannot be read as written ({error})"
    return "" if made == event.leaf else "its contents are not the ones that were written"


def _redacted(event: Event) -> bool:
    later = Event.objects.filter(collection=event.collection_id, kind="redacted")
    return later.filter(facts__entry=event.sequence).exists()


def _branches(collection: Collection, leaves: list[bytes]) -> list[Misfit]:
    kept = dict(Branch.objects.of(collection).values_list("number", "root"))
    for number in range(len(leaves) // BRANCH):
        part = leaves[number * BRANCH : (number + 1) * BRANCH]
        if kept.get(number) != merkle.root(part).hex():
            return [Misfit(number * BRANCH, "the branch that starts here does not fit its leaves")]
    return []


def _derived(collection: Collection) -> list[Misfit]:
    for subject in Subject.objects.of(collection).select_related("state").iterator(CHUNK):
        subject.collection = collection
        row = getattr(subject, "state", None)
        known, last = projection.refold(subject)
        if last is None and row is None:
            continue
        entry = last.entry.number if last else None
        if row is None or row.detail != to_json(known):
            return [Misfit(entry, f"the state of {subject.code} is not what its entries say")]
    return []


def rebuild(collection: Collection) -> int:
    """Make mentions, placed dates, states and branches again; returns the number of subjects."""
    subjects = list(Subject.objects.of(collection))
    by_code = {subject.code: subject for subject in subjects}
    Mention.objects.filter(subject__collection=collection).delete()
    for chunk in _chunks(_in_sequence(collection)):
        Mention.objects.bulk_create(
            Mention(subject=by_code[code], entry=event, role=role, placed_us=event.placed_us)
            for event in chunk
            for role, code in {"subject": event.subject.code, **event.names}.items()
        )
    for subject in subjects:
        subject.collection = collection
        projection.place_again(subject)
    _states_again(subjects)
    _branches_again(collection)
    return len(subjects)


def _states_again(subjects: list[Subject]) -> None:
    ids = {subject.code: subject.pk for subject in subjects}
    rows = []
    for subject in subjects:
        known, last = projection.refold(subject)
        if last is None:
            continue
        at, number = last.placed_us, last.entry.number
        rows.append(projection.row_of(subject, known, at_us=at, number=number, ids=ids))
    State.objects.filter(subject__in=subjects).delete()
    projection.keep(rows)


def _branches_again(collection: Collection) -> None:
    leaves = [bytes.fromhex(event.leaf) for event in _in_sequence(collection)]
    Branch.objects.of(collection).delete()
    Branch.objects.bulk_create(
        Branch(
            collection=collection,
            number=number,
            root=merkle.root(leaves[number * BRANCH : (number + 1) * BRANCH]).hex(),
        )
        for number in range(len(leaves) // BRANCH)
    )


def _chunks(events: Iterator[Event]) -> Iterator[list[Event]]:
    chunk: list[Event] = []
    for event in events:
        chunk.append(event)
        if len(chunk) == CHUNK:
            yield chunk
            chunk = []
    yield chunk

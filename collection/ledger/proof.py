"""Checking a book from its contents: leaves, root, and every row derived from the entries."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import QuerySet

from collection.core import merkle
from collection.ledger import derived
from collection.ledger.book import BRANCH
from collection.ledger.derived import CHUNK, Misfit
from collection.ledger.leaf import hash_words, leaf_of
from collection.ledger.models import Branch, Event, Head
from registry.access.models import Collection


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
    misfits, warnings, leaves = _entries(collection, size)
    if len(leaves) < size:
        misfits.append(Misfit(len(leaves), f"the book ends here, but {size} entries were written"))
    frontier = tuple(bytes.fromhex(node) for node in head.frontier) if head else ()
    root = merkle.root(leaves)
    if not misfits and root != merkle.frontier_root(frontier):
        misfits.append(Misfit(None, "the leaves do not lead to the root that was kept"))
    misfits += _branches(collection, leaves)
    misfits += [] if misfits else [*_beyond(collection), *derived.misfits(collection, size)]
    return Verdict(len(leaves), root.hex(), tuple(misfits), tuple(warnings))


def misfits_among(collection: Collection, size: int) -> list[Misfit]:
    """What does not fit its leaf among the first `size` entries, the first only, or what lacks."""
    misfits, _, leaves = _entries(collection, size)
    if len(leaves) < size and not misfits:
        return [Misfit(len(leaves), f"the book ends here, but {size} entries were written")]
    return misfits


def root_of(collection: Collection) -> tuple[int, str]:
    """Size and root of a book as its head keeps them."""
    head = Head.objects.of(collection).first()
    if head is None:
        return 0, merkle.root([]).hex()
    return head.size, merkle.frontier_root([bytes.fromhex(n) for n in head.frontier]).hex()


def _beyond(collection: Collection) -> list[Misfit]:
    """Entries past the end that the head knows; read after them, since others may be writing."""
    last = Event.objects.of(collection).order_by("-sequence").first()
    size, _ = root_of(collection)
    if last is None or last.sequence < size:
        return []
    return [Misfit(size, f"the book ends before this, after {size} entries")]


def _entries(collection: Collection, size: int) -> tuple[list[Misfit], list[str], list[bytes]]:
    misfits: list[Misfit] = []
    warnings: list[str] = []
    leaves: list[bytes] = []
    before = None
    for number, event in enumerate(_readable(collection, size)):
        if isinstance(event, Misfit):
            return (misfits or [event]), warnings, leaves
        leaves.append(_leaf_bytes(event.leaf))
        if not misfits and (reason := _misfit(number, event, collection)):
            misfits.append(Misfit(event.sequence, reason))
        if before and event.recorded_at < before:
            warnings.append(f"entry {event.sequence} is dated before the one it follows")
        before = event.recorded_at
    return misfits, warnings, leaves


def _readable(collection: Collection, size: int) -> Iterator[Event | Misfit]:
    """Entries in sequence; where one cannot even be read, a Misfit that names it, then no more."""
    rows = Event.objects.of(collection).filter(sequence__lt=size)
    rows = rows.select_related("subject").order_by("sequence")
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
    if erased and event.words_salt:
        return "its words are gone but not their salt, so that they could be guessed"
    if not erased and hash_words(event) != event.words_hash:
        return "its words are not the ones that were written"
    try:
        made = leaf_of(event, collection, event.subject.code).hex()
    except ValueError as error:
        return f"its contents cannot be read as written ({error})"
    return "" if made == event.leaf else "its contents are not the ones that were written"


def _redacted(event: Event) -> bool:
    later = Event.objects.filter(collection=event.collection_id, sequence__gt=event.sequence)
    return later.filter(kind="redacted", facts__entry=event.sequence).exists()


def _branches(collection: Collection, leaves: list[bytes]) -> list[Misfit]:
    kept = dict(Branch.objects.of(collection).values_list("number", "root"))
    for number in range(len(leaves) // BRANCH):
        part = leaves[number * BRANCH : (number + 1) * BRANCH]
        if kept.get(number) != merkle.root(part).hex():
            return [Misfit(number * BRANCH, "the branch that starts here does not fit its leaves")]
    return []

"""Reading what a dossier shows: the history in correction lines, the book as it stands, proofs."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import reduce
from operator import or_

from django.db.models import Q, QuerySet

from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo, Piece
from collection.core import merkle, merkle_branches
from collection.core.dossier_file import Grown
from collection.core.merkle_branches import BRANCH
from collection.core.merkle_paths import branch_paths
from collection.core.seal import Seal
from collection.custody.whereabouts import Whereabouts
from collection.ledger.models import Branch, Event, Head
from collection.ledger.sealing.queries import seals
from collection.papers.dossier.private import Privacy, privacy_of
from collection.papers.models import PaperMade
from collection.road.models import Show
from registry.access.models import Collection, Membership

MOST_SEALS = 12


@dataclass(frozen=True)
class HistoryLine:
    """One correction line of a piece's history, oldest entry first, and why it is private."""

    events: tuple[Event, ...]
    private: tuple[str, ...] = ()
    words_leak: str = ""

    @property
    def last(self) -> Event:
        """The effective entry."""
        return self.events[-1]

    @property
    def number(self) -> int:
        """What the line is ticked by."""
        return self.last.sequence

    @property
    def words(self) -> str:
        """The words of the effective entry."""
        return self.last.words

    @property
    def has_words(self) -> bool:
        """Whether any entry of it still has words or a note."""
        return any(event.words or event.source_note for event in self.events)


@dataclass(frozen=True)
class History:
    """All lines of a piece in order of happening, with what is private around it."""

    piece: Piece
    lines: tuple[HistoryLine, ...]
    privacy: Privacy
    photos: tuple[Photo, ...]


def history_of(piece: Piece, member: Membership, known: Whereabouts) -> History:
    """Everything of which a dossier can be chosen; a fixed number of queries."""
    # Lists of outsiders are made here: private places stay private whoever asks.
    privacy = privacy_of(piece, replace(known, sees_private=True))
    lines = [_judged(line, privacy) for line in _lines(_events_of(piece))]
    lines.sort(key=lambda line: (line.last.placed_us, line.events[0].sequence))
    photos = [p for p in catalogue.photos_of(piece.subject, member) if p.taken_out_at is None]
    return History(piece, tuple(lines), privacy, tuple(photos))


def _judged(line: tuple[Event, ...], privacy: Privacy) -> HistoryLine:
    said = (f"{event.words} {event.source_note}" for event in line)
    leaks = next((why for text in said if (why := privacy.leaks(text))), "")
    return HistoryLine(line, privacy.reasons(line), leaks)


def _events_of(piece: Piece) -> list[Event]:
    """Entries that name the piece, what corrects or was corrected, answers, what took words out."""
    own = Event.objects.of(piece.collection).select_related("subject")
    found = {e.sequence: e for e in own.filter(mentions__subject=piece.subject)}
    newest = set(found)
    while newest:
        behind = {found[number].corrects for number in newest} - {None}
        beside = Q(corrects__in=newest) | Q(answers__in=newest, kind="answered")
        taken_out = Q(kind="redacted", facts__entry__in=newest)
        rows = own.filter(beside | taken_out | Q(sequence__in=behind - found.keys()))
        fresh = {e.sequence: e for e in rows if e.sequence not in found}
        found |= fresh
        newest = set(fresh)
    return [found[number] for number in sorted(found)]


def _lines(events: list[Event]) -> list[tuple[Event, ...]]:
    lines: dict[int, list[Event]] = {}
    for event in events:
        line = lines.pop(event.corrects, []) if event.corrects is not None else []
        lines[event.sequence] = [*line, event]
    return [tuple(line) for line in lines.values()]


# -- the book ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Standing:
    """A book at one moment: what its head says."""

    collection: Collection
    frontier: tuple[bytes, ...]

    @property
    def size(self) -> int:
        """Number of entries."""
        return merkle.frontier_size(self.frontier)

    @property
    def root(self) -> str:
        """The root over them."""
        return merkle.frontier_root(self.frontier).hex()


def standing(collection: Collection) -> Standing:
    """The book as it stands now."""
    head = Head.objects.of(collection).first()
    return Standing(collection, tuple(map(bytes.fromhex, head.frontier)) if head else ())


@dataclass(frozen=True)
class Proofs:
    """The way to the root of each entry, and of older seals to this book."""

    paths: dict[int, tuple[bytes, ...]]
    grown: tuple[Grown, ...]


def proofs_of(book: Standing, numbers: Iterable[int]) -> Proofs:
    """Proofs of entries under the book's root; 4 queries."""
    wanted = sorted(numbers)
    full = book.size // BRANCH
    older = [kept.seal for kept in seals(book.collection) if kept.seal.size <= book.size]
    older = older[:MOST_SEALS]
    needed = {n // BRANCH for n in (*wanted, *(seal.size for seal in older))} | {full}
    leaves = _leaves(book, needed)
    roots = _branch_roots(book, full)
    tail = leaves.pop(full, [])
    return Proofs(
        branch_paths(roots, tail, leaves=leaves, indices=wanted),
        tuple(_grown(seal, roots, tail, leaves) for seal in older),
    )


def _branch_roots(book: Standing, full: int) -> list[bytes]:
    rows = Branch.objects.of(book.collection).filter(number__lt=full).order_by("number")
    return [bytes.fromhex(root) for root in rows.values_list("root", flat=True)]


def _leaves(book: Standing, branches: set[int]) -> dict[int, list[bytes]]:
    ranges = [Q(sequence__range=(n * BRANCH, (n + 1) * BRANCH - 1)) for n in branches]
    rows = Event.objects.of(book.collection).filter(reduce(or_, ranges), sequence__lt=book.size)
    found: dict[int, list[bytes]] = {}
    for number, leaf in rows.order_by("sequence").values_list("sequence", "leaf"):
        found.setdefault(number // BRANCH, []).append(bytes.fromhex(leaf))
    return found


def _grown(seal: Seal, roots: list[bytes], tail: list[bytes], leaves: dict) -> Grown:
    own = leaves.get(seal.size // BRANCH, tail)
    path = merkle_branches.consistency_proof(roots, tail, branch_leaves=own, first=seal.size)
    return Grown(seal.size, seal.root, path)


# -- papers made -------------------------------------------------------------------------------


def shows_of(collection: Collection) -> dict[str, str]:
    """What a show's code is called on paper: 'show 14, Bergen'."""
    rows = Show.objects.of(collection).values_list("code", "number", "venue__town")
    return {code: f"show {number}, {town}" for code, number, town in rows}


def papers_made(collection: Collection) -> QuerySet[PaperMade]:
    """Papers that were handed out, the newest first."""
    return PaperMade.objects.of(collection).select_related("subject")

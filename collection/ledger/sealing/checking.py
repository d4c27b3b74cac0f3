"""What a seal kept elsewhere shows of the book as it is now, statement by statement."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from collection.core import merkle, merkle_branches
from collection.core.seal import Seal
from collection.ledger import proof
from collection.ledger.book import BRANCH
from collection.ledger.models import Branch, Event
from collection.ledger.sealing.queries import seals
from registry.access.models import Collection


@dataclass(frozen=True)
class Statement:
    """One thing that was checked, in words that say whether it holds."""

    holds: bool
    said: str


@dataclass(frozen=True)
class Checked:
    """What came of checking a book against a seal.

    `proof`: hashes that lead from the sealed root to today's, for whoever checks by hand.
    """

    seal: Seal
    size: int
    root: str
    statements: tuple[Statement, ...]
    day: str = ""
    proof: tuple[str, ...] = ()
    taken_out: int = 0

    @property
    def fits(self) -> bool:
        """Whether every statement holds."""
        return all(one.holds for one in self.statements)

    @property
    def answer(self) -> str:
        """The outcome in one sentence for the person who kept the seal."""
        if not self.fits:
            return next(one.said for one in self.statements if not one.holds)
        when = f"on {self.day}" if self.day else f"at entry {self.seal.size - 1}"
        return f"Everything in the book {when} is still there, unchanged, in that order."


def check(collection: Collection, seal: Seal) -> Checked:
    """Check every entry that a seal covers, and that the book has only grown since.

    A leaf that still fits its neighbours proves nothing of contents changed beside it, so the
    contents are hashed anew as well.
    """
    size, root = proof.root_of(collection)
    found = Checked(seal, size, root, tuple(_impossible(collection, seal, size)))
    if not found.fits:
        return found
    path = _path(collection, seal.size, size)
    return Checked(
        seal,
        size,
        root,
        (_grown(seal, size, root, path), _contents(collection, seal.size)),
        day=_day(collection, seal),
        proof=tuple(node.hex() for node in path or ()),
        taken_out=_taken_out(collection, seal.size),
    )


def _impossible(collection: Collection, seal: Seal, size: int) -> Iterator[Statement]:
    if seal.book and seal.book != collection.book:
        yield Statement(False, "This is a seal of another book.")
    elif seal.size > size:
        gone = seal.size - size
        yield Statement(
            False,
            f"The seal speaks of {seal.size} entries, the book has {size}: {gone} of them "
            "are missing at the end, or it is a seal of another book.",
        )


def _grown(seal: Seal, size: int, root: str, path: tuple[bytes, ...] | None) -> Statement:
    if path is None:
        return Statement(False, "Entries are missing, or kept branches do not fit their leaves.")
    roots = bytes.fromhex(seal.root), bytes.fromhex(root)
    if merkle.verify_consistency(seal.size, size, *roots, path):
        since = size - seal.size
        grown = f"{since} written since come after them" if since else "none was written since"
        return Statement(True, f"The first {seal.size} leaves lead to the sealed root; {grown}.")
    return Statement(
        False,
        f"The first {seal.size} entries do not lead to the sealed root: one was changed, dropped, "
        "inserted or moved since, or it is a seal of another book.",
    )


def _contents(collection: Collection, size: int) -> Statement:
    misfits = proof.misfits_among(collection, size)
    if not misfits:
        return Statement(True, f"What each of the first {size} entries says fits its leaf.")
    first = misfits[0]
    where = f"Entry {first.entry}" if first.entry is not None else "The book"
    return Statement(False, f"{where} is not what was sealed: {first.reason}.")


def _path(collection: Collection, first: int, size: int) -> tuple[bytes, ...] | None:
    """The consistency proof from what is kept; None where what is kept makes no tree."""
    whole = size // BRANCH
    kept = Branch.objects.of(collection).filter(number__lt=whole).order_by("number")
    roots = [_bytes(root) for root in kept.values_list("root", flat=True)]
    tail = _leaves(collection, whole * BRANCH, size)
    start = first // BRANCH * BRANCH
    if len(roots) != whole or len(tail) != size - whole * BRANCH:
        return None
    try:
        leaves = _leaves(collection, start, min(start + BRANCH, size))
        return merkle_branches.consistency_proof(roots, tail, branch_leaves=leaves, first=first)
    except ValueError:
        return None


def _leaves(collection: Collection, start: int, end: int) -> list[bytes]:
    rows = Event.objects.of(collection).filter(sequence__gte=start, sequence__lt=end)
    return [_bytes(leaf) for leaf in rows.order_by("sequence").values_list("leaf", flat=True)]


def _bytes(text: str) -> bytes:
    try:
        return bytes.fromhex(text)
    except ValueError:
        return b"not a hash"


def _day(collection: Collection, seal: Seal) -> str:
    """The day the seal was made, as well as it is known; '' when it is not."""
    kept = next((k for k in seals(collection) if k.seal.pair == seal.pair), None)
    if kept and kept.first.earliest and kept.first.earliest == kept.first.latest:
        return f"{kept.first.earliest.day} {kept.first.earliest:%B %Y}"
    made = _instant(seal.sealed_at) if seal.sealed_at else None
    if made is None:
        last = Event.objects.of(collection).filter(sequence=seal.size - 1).first()
        made = last.recorded_at if last else None
    local = made.astimezone(collection.zone_info) if made else None
    return f"{local.day} {local:%B %Y}" if local else ""


def _instant(text: str) -> datetime | None:
    try:
        made = datetime.fromisoformat(text)
    except ValueError:
        return None
    return made if made.tzinfo else None


def _taken_out(collection: Collection, size: int) -> int:
    """Of how many of the first entries the words have been taken out since."""
    rows = Event.objects.of(collection).filter(sequence__lt=size, words="", source_note="")
    return rows.exclude(words_hash="").count()

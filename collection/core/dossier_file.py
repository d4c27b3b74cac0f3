"""The file inside a dossier: chosen entries of one thing, each with its way to the root.

Canonical JSON (RFC 8785), so that there is one way only to write the same dossier:

    {"purpose": "registry/dossier", "version": 1, "book": …, "subject": "A-007",
     "size": 2041, "root": …, "frontier": […],
     "entries": [{"content": {what the leaf covers}, "words": …, "words_salt": …, "proof": […]}],
     "seals": [{"size": 1800, "root": …, "path": […]}]}

`words` is the text whose hash stands in the content, or null where it was kept back or taken out;
the proof holds either way. A seal's `path` shows that the book only grew since, so a root that
somebody was given a year ago is still of use.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import rfc8785

from collection.core import merkle
from collection.core.canonical import leaf_content

PURPOSE: Final = "registry/dossier"
VERSION: Final = 1
KEYS: Final = frozenset(
    ("purpose", "version", "book", "subject", "size", "root", "frontier", "entries", "seals")
)
ENTRY_KEYS: Final = frozenset(("content", "words", "words_salt", "proof"))
SEAL_KEYS: Final = frozenset(("size", "root", "path"))


@dataclass(frozen=True)
class Shown:
    """One entry to show: what its leaf covers, its words (None: kept back), its proof."""

    content: Mapping[str, Any]
    proof: Sequence[bytes]
    words: str | None = None
    words_salt: str | None = None


@dataclass(frozen=True)
class Grown:
    """An older seal of the book, and the proof that the book only added to it."""

    size: int
    root: str
    path: Sequence[bytes]


def dossier_file(
    *,
    subject: str,
    frontier: Sequence[bytes],
    entries: Sequence[Shown],
    seals: Sequence[Grown] = (),
) -> bytes:
    """The bytes of the file; `frontier` is that of the book (`merkle.append`).

    Raises ValueError for no entries, entries of two books, or contents that no leaf can have.
    """
    books = {str(each.content["book"]) for each in entries}
    if len(books) != 1:
        raise ValueError(f"a dossier shows entries of one book, not of {len(books)}")
    for each in entries:
        leaf_content(each.content)
    said: Any = {
        "purpose": PURPOSE,
        "version": VERSION,
        "book": books.pop(),
        "subject": subject,
        "size": merkle.frontier_size(frontier),
        "root": merkle.frontier_root(frontier).hex(),
        "frontier": [part.hex() for part in frontier],
        "entries": [
            _entry(each) for each in sorted(entries, key=lambda one: int(one.content["entry"]))
        ],
        "seals": [_seal(each) for each in sorted(seals, key=lambda one: one.size)],
    }
    return rfc8785.dumps(said)


def _entry(each: Shown) -> dict[str, Any]:
    return {
        "content": dict(each.content),
        "words": each.words,
        "words_salt": each.words_salt if each.words is not None else None,
        "proof": [step.hex() for step in each.proof],
    }


def _seal(each: Grown) -> dict[str, Any]:
    return {"size": each.size, "root": each.root, "path": [step.hex() for step in each.path]}

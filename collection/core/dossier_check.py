"""Does a dossier hold? Needs its file, and a root that was kept elsewhere; nothing of ours.

What it shows: each entry stood in the book exactly like this, at that number, when the book had
`size` entries. What it cannot show: entries that were not chosen, and whether what was written is
true. Against the root that the file itself names it only shows that the file agrees with itself.

Every byte counts: the file must be the canonical form of what it says, so a change that alters no
value is found as well. Of a bare root the size is a claim: a tree with its last entries joined has
the same root. A seal, SIZE:ROOT, binds both.

Source: RFC 9162 (Certificate Transparency 2.0, 2021) §2.1.3, §2.1.4; RFC 8785 for the form.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import rfc8785

from collection.core import merkle
from collection.core.canonical import leaf_content, words_hash
from collection.core.dossier_reading import MOST_BYTES, NoDossier, read
from collection.core.seal import NoSeal, Seal, read_seal

_ROOT = re.compile(r"[0-9a-f]{64}")
_SALT = re.compile(r"[0-9a-f]{32}")


@dataclass(frozen=True)
class Finding:
    """One thing that does not hold; `entry` is its number in the book, where it is one's."""

    entry: int | None
    says: str

    def sentence(self) -> str:
        """The finding with what it is about."""
        return f"Entry {self.entry}: {self.says}" if self.entry is not None else self.says


@dataclass(frozen=True)
class Read:
    """One entry as the file tells it. `words`: None where they were kept back or taken out."""

    number: int
    content: Mapping[str, Any]
    words: str | None
    note: str
    had_words: bool
    fits: bool


@dataclass(frozen=True)
class Checked:
    """What came of it. `against`: 'given', 'seal' (an older one that was given) or 'own'."""

    subject: str
    book: str
    size: int
    root: str
    entries: tuple[Read, ...]
    findings: tuple[Finding, ...]
    against: str
    seal_size: int = 0

    @property
    def fits(self) -> bool:
        """Whether nothing speaks against it."""
        return not self.findings

    @property
    def answer(self) -> str:
        """The outcome in one sentence that claims no more than was shown."""
        count = f"{len(self.entries)} entries" if len(self.entries) != 1 else "1 entry"
        if not self.fits:
            return "The dossier does not hold."
        if self.against == "own":
            return (
                f"{count} agree with the root in the file itself. That alone proves nothing: "
                "compare the root with one that reached you by another way."
            )
        if self.against == "seal":
            return (
                f"{count} stood in the book like this, and the book only grew since the root "
                f"you gave, over {self.seal_size} entries. Later ones rest on the dossier's root."
            )
        return f"{count} stood in the book exactly like this, under the root you gave."


def check(data: bytes, *, root: str = "") -> Checked:
    """Check the file of a dossier, against a root kept elsewhere where there is one.

    Args:
        data: the attached file, as it came.
        root: 64 hex digits, or a seal (SIZE:ROOT); '' for none.

    Raises:
        NoDossier: no dossier can be read in the bytes.
        NoSeal: `root` is neither.
    """
    given = _given(root)
    said = read(data)
    entries = tuple(_entry(one, said) for one in said["entries"])
    findings = [finding for _, found in entries for finding in found]
    reads = tuple(one for one, _ in entries)
    findings += _together(reads, said) + _frame(said)
    if not _canonical(said, data):
        findings.append(Finding(None, "The file is not written as it was made."))
    against, size, found = _against(given, said)
    return Checked(
        said["subject"], said["book"], said["size"], said["root"], reads,
        tuple(findings + found), against, size,
    )  # fmt: skip


def _given(root: str) -> Seal | None:
    text = "".join(root.split())
    if not text:
        return None
    bare = text.lower()
    return Seal(0, bare) if _ROOT.fullmatch(bare) else read_seal(root)


def _canonical(said: Mapping[str, Any], data: bytes) -> bool:
    """Whether these are the only bytes that say this; some values have no canonical form at all."""
    try:
        return bool(rfc8785.dumps(dict(said)) == data)
    except (rfc8785.CanonicalizationError, RecursionError):
        return False


# -- each entry --------------------------------------------------------------------------------


def _entry(one: Mapping[str, Any], said: Mapping[str, Any]) -> tuple[Read, list[Finding]]:
    content = one["content"]
    number = content["entry"]
    found = [Finding(number, words) for words in _misfits(one, said)]
    words, note = _told(one["words"])
    had = content.get("words_hash") is not None
    return Read(number, content, words, note, had, not found), found


def _misfits(one: Mapping[str, Any], said: Mapping[str, Any]) -> Iterator[str]:
    content = one["content"]
    try:
        leaf = merkle.leaf_hash(leaf_content(content))
    except ValueError as error:
        yield f"its contents are none that the book can have ({error})"
        return
    if content["book"] != said["book"]:
        yield "it stands in another book"
    proof = [bytes.fromhex(step) for step in one["proof"]]
    top = bytes.fromhex(said["root"])
    if not merkle.verify_inclusion(leaf, content["entry"], said["size"], proof, top):
        yield "it did not stand in the book like this: it does not lead to the root"
    if one["words"] is None:
        if one["words_salt"] is not None:
            yield "it has a salt and no words"
    elif not _words_fit(one, content):
        yield "its words are not the ones that were written"


def _words_fit(one: Mapping[str, Any], content: Mapping[str, Any]) -> bool:
    salt = one["words_salt"]
    if not isinstance(salt, str) or not _SALT.fullmatch(salt):
        return False
    try:
        return bool(words_hash(salt, one["words"]) == content["words_hash"])
    except ValueError:  # text that no entry can have
        return False


def _told(words: str | None) -> tuple[str | None, str]:
    """Words and the note on the source, out of the one text that was hashed."""
    if words is None:
        return None, ""
    try:
        said = json.loads(words)
    except (ValueError, RecursionError):
        return words, ""
    both = isinstance(said, list) and len(said) == 2 and all(isinstance(s, str) for s in said)
    return (said[0], said[1]) if both else (words, "")


# -- all of them -------------------------------------------------------------------------------


def _together(reads: tuple[Read, ...], said: Mapping[str, Any]) -> list[Finding]:
    found = []
    numbers = [one.number for one in reads]
    if not numbers:
        found.append(Finding(None, "The file shows no entry."))
    if numbers != sorted(set(numbers)):
        found.append(Finding(None, "Its entries are not in the order of the book."))
    shown = set(numbers)
    pointed_at = {target for one in reads for target in _links(one.content)}
    for one in reads:
        linked = one.number in pointed_at or _links(one.content) & shown
        if not linked and not _names(one.content, said["subject"]):
            found.append(Finding(one.number, f"it does not name {said['subject']}"))
    return found


def _names(content: Mapping[str, Any], subject: str) -> bool:
    names = content.get("names")
    named = names.values() if isinstance(names, Mapping) else ()
    return subject in (content.get("subject"), *named)


def _links(content: Mapping[str, Any]) -> set[int]:
    """Numbers of the entries that this one corrects, answers or speaks of."""
    facts = content.get("facts")
    of = facts.get("entry") if isinstance(facts, Mapping) else None
    linked = (content.get("answers"), content.get("corrects"), of)
    return {number for number in linked if type(number) is int}


def _frame(said: Mapping[str, Any]) -> list[Finding]:
    top, size = bytes.fromhex(said["root"]), said["size"]
    found = []
    frontier = [bytes.fromhex(part) for part in said["frontier"]]
    if merkle.frontier_size(frontier) != size or merkle.frontier_root(frontier) != top:
        found.append(Finding(None, "Its size and its root are not those of one book."))
    for seal in said["seals"]:
        path = [bytes.fromhex(step) for step in seal["path"]]
        first = bytes.fromhex(seal["root"])
        if not merkle.verify_consistency(seal["size"], size, first, top, path):
            found.append(Finding(None, f"The book is not the one sealed at {seal['size']}."))
    return found


def _against(given: Seal | None, said: Mapping[str, Any]) -> tuple[str, int, list[Finding]]:
    if given is None:
        return "own", 0, []
    if given.book and given.book != said["book"]:
        return "given", 0, [Finding(None, "The seal you gave is of another book.")]
    known = [(said["size"], said["root"])] + [(one["size"], one["root"]) for one in said["seals"]]
    for place, (size, root) in enumerate(known):
        if root == given.root and given.size in (0, size):
            return ("seal", size, []) if place else ("given", size, [])
    over = f", over {given.size} entries" if given.size else ""
    words = (
        f"The root you gave{over} is not that of the dossier, over {said['size']}, nor of a seal "
        "in it. Ask for a dossier that reaches back to your seal, or for the root at its size."
    )
    return "given", 0, [Finding(None, words)]


__all__ = ["MOST_BYTES", "Checked", "Finding", "NoDossier", "NoSeal", "Read", "check"]

"""A seal: how many entries a book had, and the root over them; small enough to print.

A seal shows later whether those entries are all still there, unchanged, in that order. It shows it
only against a copy kept outside the database, and proves neither time nor truth.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

PURPOSE: Final = "registry/seal"
VERSION: Final = 1
LARGEST: Final = 2**53 - 1
GROUP: Final = 4
LONGEST: Final = 20_000  # characters of a pasted text or a seal file

_ROOT = re.compile(r"[0-9a-f]{64}")
_BOOK = re.compile(r"[0-9a-f]{32}")
_PAIR = re.compile(r"\s*(\d{1,16})\s*(?:entries)?\s*[:,;]\s*([0-9a-fA-F\s]+?)\s*")


class NoSeal(ValueError):
    """A text in which no seal can be read, with a sentence for the person."""


@dataclass(frozen=True)
class Seal:
    """Number of entries, root as 64 hex digits; book (32 hex digits) and time where known.

    `sealed_at` is UTC text with six decimals and Z, as the leaf of its entry has it.
    """

    size: int
    root: str
    book: str = ""
    sealed_at: str = ""

    @property
    def pair(self) -> str:
        """The seal in one line: '2041:ab12…'."""
        return f"{self.size}:{self.root}"

    @property
    def groups(self) -> tuple[str, ...]:
        """The root in sixteen groups of four digits, to read out and compare by eye."""
        return tuple(self.root[at : at + GROUP] for at in range(0, len(self.root), GROUP))

    def to_json(self) -> dict[str, Any]:
        """The seal as a file holds it."""
        return {
            "purpose": PURPOSE,
            "version": VERSION,
            "book": self.book,
            "size": self.size,
            "root": self.root,
            "sealed_at": self.sealed_at,
        }


def read_seal(text: str) -> Seal:
    """The seal in a pasted text: SIZE:ROOT, spaces between groups allowed, or a seal file.

    Raises NoSeal, saying what is missing.

    >>> read_seal("3 : " + "ab12 " * 16).pair == "3:" + "ab12" * 16
    True
    """
    if len(text) > LONGEST:
        raise NoSeal(f"A seal is short; this text has {len(text)} characters.")
    if text.lstrip("\ufeff \t\r\n").startswith("{"):
        return _from_file(text)
    found = _PAIR.fullmatch(text)
    if found is None:
        raise NoSeal("A seal reads like 2041:ab12…, the number of entries, a colon, 64 hex digits.")
    return _checked(int(found[1]), "".join(found[2].split()).lower())


def _from_file(text: str) -> Seal:
    try:
        said = json.loads(text.lstrip("\ufeff \t\r\n"))
    except (ValueError, RecursionError) as error:
        raise NoSeal("This file cannot be read as a seal: it is no JSON.") from error
    if not isinstance(said, Mapping) or said.get("purpose") != PURPOSE:
        raise NoSeal(f"This file is no seal: it does not say '{PURPOSE}'.")
    if said.get("version") != VERSION:
        raise NoSeal(f"This seal is of version {said.get('version')!r}, not {VERSION}.")
    seal = _checked(said.get("size"), said.get("root"))
    book, at = said.get("book", ""), said.get("sealed_at", "")
    if not isinstance(book, str) or not (book == "" or _BOOK.fullmatch(book)):
        raise NoSeal("The seal names a book in another form than 32 hex digits.")
    return Seal(seal.size, seal.root, book, at if isinstance(at, str) else "")


def _checked(size: object, root: object) -> Seal:
    if type(size) is not int or not 0 < size <= LARGEST:
        raise NoSeal("A seal counts its entries from 1: over an empty book it proves nothing.")
    if not isinstance(root, str) or _ROOT.fullmatch(root) is None:
        length = len(root) if isinstance(root, str) else 0
        raise NoSeal(f"The root of a seal has 64 hex digits (0–9, a–f); this one has {length}.")
    return Seal(size, root)

"""`described`: what the register says a piece is; the first one enters it in the book."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind

SHOWN = 3  # fields in the sentence; the entry has all of them


@dataclass(frozen=True)
class Described(Kind):
    """Fields of the description that are new or changed, as (field, text) pairs.

    Fields: kind, maker, design, circuit, year, serial, finish, nickname, marks, … as the page
    shows them. The current description is the piece's row; this is how it came about.
    """

    kind: ClassVar[str] = "described"
    said: tuple[tuple[str, str], ...] = ()
    first: bool = False

    def sentence(self) -> str:
        """The first fields, in the order given, and how many more there are."""
        told = "; ".join(f"{field} {text or 'struck out'}" for field, text in self.said[:SHOWN])
        if len(self.said) > SHOWN:
            told += f"; and {len(self.said) - SHOWN} more"
        start = "Entered in the register" if self.first else "Described"
        return f"{start}: {told.removesuffix('.')}." if told else f"{start}."

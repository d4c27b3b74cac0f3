"""`sealed`: the book as it stood, in two numbers that were meant to leave the house."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind


@dataclass(frozen=True)
class Sealed(Kind):
    """Subject: the seal. The root is over the first `size` entries, this one not among them.

    `held_by`: codes of who was given a copy; `went_to`: the same in words, where no code is known.
    """

    kind: ClassVar[str] = "sealed"
    size: int
    root: str
    held_by: tuple[str, ...] = ()
    went_to: str = ""

    def names(self) -> dict[str, str]:
        """Holders of a copy as holder-1, holder-2, …"""
        return {f"holder-{n}": code for n, code in enumerate(self.held_by, start=1)}

    def sentence(self) -> str:
        """How much was sealed, how its root begins, and who has a copy."""
        holders = [*self.held_by, *([self.went_to] if self.went_to else [])]
        gone = f"; a copy went to {', '.join(holders)}" if holders else ""
        entries = "entry" if self.size == 1 else "entries"
        return f"Sealed at {self.size} {entries}, root {self.root[:8]}…{gone}."

"""`noted`: one line somebody wanted kept; the words themselves stand beside the facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind


@dataclass(frozen=True)
class Noted(Kind):
    """A note; `about` is a song or a position, in words."""

    kind: ClassVar[str] = "noted"
    about: str = ""

    def sentence(self) -> str:
        """What it is about; the page prints the words below."""
        return f"Note about {self.about}." if self.about else "Note."

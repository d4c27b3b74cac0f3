"""`withdrawn`: an entry is taken back; it stays readable, struck through, without effect."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind


@dataclass(frozen=True)
class Withdrawn(Kind):
    """A correction without effect; may itself be corrected."""

    kind: ClassVar[str] = "withdrawn"
    because: str = ""

    def sentence(self) -> str:
        """Why it was taken back."""
        return f"Withdrawn: {self.because}." if self.because else "Withdrawn."

"""`valued`: what it is worth, for the insurer; confidential."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind


@dataclass(frozen=True)
class Valued(Kind):
    """A value in minor units of a currency (ISO 4217 code) and its basis; changes no state.

    The amount stays out of the sentence, which anybody with the life line may read.
    """

    kind: ClassVar[str] = "valued"
    value_minor: int
    currency: str
    basis: str = ""

    def sentence(self) -> str:
        """That it was valued and on what basis, never how much."""
        return f"Valued, {self.basis}." if self.basis else "Valued."

"""`photographed`: a photo was taken; its bytes are known by their SHA-256."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind


@dataclass(frozen=True)
class Photographed(Kind):
    """The photo's SHA-256 in hex and the view it shows (front, serial, grain, scar, …)."""

    kind: ClassVar[str] = "photographed"
    sha256: str
    view: str = ""

    def sentence(self) -> str:
        """The view."""
        return f"Photographed: {self.view}." if self.view else "Photographed."

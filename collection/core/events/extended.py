"""`extended`: a loan or hire ends on another day than was agreed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.partial_date import PartialDate
from collection.core.repair_job import named_pieces
from collection.core.state import State


@dataclass(frozen=True)
class Extended(Kind):
    """Subject: the loan. `until`, `was`: ISO days; why, on whose word, and what is still out."""

    kind: ClassVar[str] = "extended"
    until: str
    was: str
    reason: str
    authorised_by: str = ""
    pieces: tuple[str, ...] = ()

    @property
    def bystanders(self) -> frozenset[str]:  # type: ignore[override]
        """The pieces stay as they are."""
        return frozenset(self.names())

    def names(self) -> dict[str, str]:
        """Pieces as piece-1, piece-2, …"""
        return named_pieces(self.pieces)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """How far the loan has come does not change."""
        return state

    def sentence(self) -> str:
        """The new end, the old one, why, on whose word."""
        until, was = (
            PartialDate.parse(self.until).sentence(),
            PartialDate.parse(self.was).sentence(),
        )
        word = f" Authorised by {self.authorised_by}." if self.authorised_by else ""
        return f"Runs until {until}, not {was}: {self.reason.removesuffix('.')}.{word}"

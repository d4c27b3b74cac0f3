"""`booked_in`: the repairer has it on the bench list, under a ticket of their own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.repair_job import named_pieces, reached
from collection.core.state import State


@dataclass(frozen=True)
class BookedIn(Kind):
    """Subject: the job. `ticket`: the repairer's number, in their spelling; `pieces`: codes."""

    kind: ClassVar[str] = "booked_in"
    ticket: str = ""
    pieces: tuple[str, ...] = ()

    @property
    def bystanders(self) -> frozenset[str]:  # type: ignore[override]
        """The pieces stay as they are."""
        return frozenset(self.names())

    def names(self) -> dict[str, str]:
        """Pieces as piece-1, piece-2, …"""
        return named_pieces(self.pieces)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The job is booked in."""
        return reached(state, "booked-in") if role == "subject" else state

    def sentence(self) -> str:
        """The ticket."""
        return f"Booked in by the repairer{f', ticket {self.ticket}' if self.ticket else ''}."

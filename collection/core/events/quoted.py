"""`quoted`: what the repairer asks for the work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.repair_job import named_pieces, reached
from collection.core.state import State
from collection.core.wording import money


@dataclass(frozen=True)
class Quoted(Kind):
    """Subject: the job. The price in minor units of `currency`, and what it covers."""

    kind: ClassVar[str] = "quoted"
    amount_minor: int
    currency: str
    covers: str = ""
    pieces: tuple[str, ...] = ()

    @property
    def bystanders(self) -> frozenset[str]:  # type: ignore[override]
        """The pieces stay as they are."""
        return frozenset(self.names())

    def names(self) -> dict[str, str]:
        """Pieces as piece-1, piece-2, …"""
        return named_pieces(self.pieces)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The job is quoted."""
        return reached(state, "quoted") if role == "subject" else state

    def sentence(self) -> str:
        """The price and what it covers."""
        covers = f" for {self.covers}" if self.covers else ""
        return f"Quoted {money(self.amount_minor, self.currency)}{covers}."

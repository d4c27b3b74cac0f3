"""`approved`: the work may cost up to this much; above the job's limit a keeper says so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.repair_job import named_pieces, reached
from collection.core.state import State
from collection.core.wording import money


@dataclass(frozen=True)
class Approved(Kind):
    """Subject: the job. Up to how much, in minor units of `currency`; on whose word (code)."""

    kind: ClassVar[str] = "approved"
    up_to_minor: int
    currency: str
    on_word_of: str = ""
    pieces: tuple[str, ...] = ()

    @property
    def bystanders(self) -> frozenset[str]:  # type: ignore[override]
        """All but the job stay as they are."""
        return frozenset(self.names())

    def names(self) -> dict[str, str]:
        """Whose word, when given; pieces as piece-1, piece-2, …"""
        word = {"on_word_of": self.on_word_of} if self.on_word_of else {}
        return word | named_pieces(self.pieces)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The job is approved."""
        return reached(state, "approved") if role == "subject" else state

    def sentence(self) -> str:
        """Up to how much, and on whose word."""
        word = f", on the word of {self.on_word_of}" if self.on_word_of else ""
        return f"Approved up to {money(self.up_to_minor, self.currency)}{word}."

"""`found_again`: units that were given up turned up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import in_words, short, transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class FoundAgain(Kind):
    """Subject: the lot. How many turned up and into which bucket they go."""

    kind: ClassVar[str] = "found_again"
    units: int
    bucket: str = "sealed"

    def problems(self, states: States) -> tuple[str, ...]:
        """More found than were lost."""
        return short(states["subject"], units=self.units, source="lost", done="found again")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Out of the lost into the bucket; what was never lost shows as unexplained."""
        if role != "subject":
            return state
        return transfer(state, units=self.units, source="lost", target=self.bucket)

    def sentence(self) -> str:
        """How many and where they went."""
        return f"{self.units} found again, now {in_words(self.bucket)}."

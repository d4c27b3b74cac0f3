"""`sighted`: somebody saw it with their own eyes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.state import Seen, State


@dataclass(frozen=True)
class Sighted(Kind):
    """Seen at a place, or where the book says when `at` is ''.

    A sighting never lifts 'stolen': that takes `recovered` and its gates. It does lift
    'not found': the thing was only mislaid, and whoever saw it stood before it (house rule).
    """

    kind: ClassVar[str] = "sighted"
    bystanders: ClassVar[frozenset[str]] = frozenset({"at"})
    at: str = ""

    def names(self) -> dict[str, str]:
        """The place, when given."""
        return {"at": self.at} if self.at else {}

    def problems(self, states: States) -> tuple[str, ...]:
        """It cannot be seen here when the book says it is gone."""
        return gone(states["subject"], f"was seen{f' at {self.at}' if self.at else ''}")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """A new sighting, perhaps a new place; what was not found is held again."""
        if role != "subject":
            return state
        entry = moment.placed.entry
        place = self.at or state.place
        seen = Seen(moment.placed.placed_us, moment.by, place or "", entry.source, entry.number)
        standing = "held" if state.standing == "not_found" else state.standing
        return state.now(seen=seen, place=place, standing=standing)

    def sentence(self) -> str:
        """Where it was seen."""
        return f"Seen at {self.at}." if self.at else "Seen where the book says."

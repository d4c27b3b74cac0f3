"""`returned`: it came back from whoever had it; what it went through is not known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.state import Seen, State


@dataclass(frozen=True)
class Returned(Kind):
    """From which party (code) and to which place (code), when given."""

    kind: ClassVar[str] = "returned"
    from_whom: str = ""
    at: str = ""

    def names(self) -> dict[str, str]:
        """The borrower and the place, when given."""
        named = {"from_whom": self.from_whom, "at": self.at}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """Nobody had it, or somebody else."""
        holder = states["subject"].holder
        if not holder:
            return ("The book says nobody has it, yet it came back.",)
        if self.from_whom and holder != self.from_whom:
            return (f"The book says {holder} has it, yet it came back from {self.from_whom}.",)
        return gone(states["subject"], "came back")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Nobody else has it; a loan ends the evidence that it works."""
        if role != "subject":
            return state
        entry = moment.placed.entry
        if self.at:
            us = moment.placed.placed_us
            seen = Seen(us, moment.by, self.at, entry.source, entry.number)
            state = state.now(place=self.at, seen=seen)
        return state.now(holder=None).unproved(moment.day, "return from loan", entry.number)

    def sentence(self) -> str:
        """From whom and to where."""
        source = f" from {self.from_whom}" if self.from_whom else ""
        return f"Came back{source}{f' to {self.at}' if self.at else ''}."

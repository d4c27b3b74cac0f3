"""`back_from_repair`: it is back from the repairer, and what was removed is counted back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.repair_job import one_back
from collection.core.state import Seen, State

RETURNED, MISSING = "returned", "missing"


@dataclass(frozen=True)
class BackFromRepair(Kind):
    """From which party, on which job, to which place (codes). Subject: the piece.

    `removed`: pairs of what was taken out and whether it came back: 'returned' or 'missing'.
    """

    kind: ClassVar[str] = "back_from_repair"
    bystanders: ClassVar[frozenset[str]] = frozenset({"from_whom", "at"})
    job: str
    from_whom: str = ""
    at: str = ""
    removed: tuple[tuple[str, str], ...] = ()

    def names(self) -> dict[str, str]:
        """The job, the repairer, the place, when given."""
        named = {"job": self.job, "from_whom": self.from_whom, "at": self.at}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """Nobody had it, somebody else had it, or a removed part did not come back."""
        subject = states["subject"]
        found = list(gone(subject, "came back from repair"))
        if not subject.holder:
            found.append("The book says nobody has it, yet it came back from repair.")
        elif self.from_whom and subject.holder != self.from_whom:
            told = f"The book says {subject.holder} has it, yet it came back from {self.from_whom}."
            found.append(told)
        missing = [what for what, answer in self.removed if answer == MISSING]
        found += [f"Job {self.job}, removed and not returned: {what}." for what in missing]
        return tuple(found)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Nobody else has it; it is unproven until it has been played hot."""
        if role == "job":
            return one_back(state)
        if role != "subject":
            return state
        entry = moment.placed.entry
        if self.at:
            us = moment.placed.placed_us
            seen = Seen(us, moment.by, self.at, entry.source, entry.number)
            state = state.now(place=self.at, seen=seen)
        return state.now(holder=None).unproved(moment.day, "return from repair", entry.number)

    def sentence(self) -> str:
        """From whom, to where, and the removed parts one by one."""
        source = f" from {self.from_whom}" if self.from_whom else ""
        at = f" to {self.at}" if self.at else ""
        parts = ", ".join(f"{what} {answer}" for what, answer in self.removed)
        counted = f"; removed parts: {parts}" if parts else ""
        return f"Back{source}{at}, job {self.job}{counted}."

"""`fault_settled`: how a fault ended, or that nobody could find it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State

OUTCOMES = {
    "not-reproduced": "could not be made to show itself",
    "fixed": "was fixed",
    "no-fault": "was no fault of the piece",
    "proven": "stayed away long enough to count as proven",
}


@dataclass(frozen=True)
class FaultSettled(Kind):
    """Subject: the piece; `outcome`: a key of OUTCOMES.

    'not-reproduced' still speaks against the piece; even 'fixed' proves nothing by itself.
    """

    kind: ClassVar[str] = "fault_settled"
    fault: str
    outcome: str

    def names(self) -> dict[str, str]:
        """The fault."""
        return {"fault": self.fault}

    def problems(self, states: States) -> tuple[str, ...]:
        """Only a fault the piece has can be settled."""
        known = dict(states["subject"].faults)
        if self.fault not in known:
            return (f"The book knows no fault {self.fault} of this piece.",)
        if self.outcome not in OUTCOMES:
            known_ends = ", ".join(OUTCOMES).replace("-", " ")
            return (f"A fault ends as one of {known_ends}, not {self.outcome}.",)
        return ()

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The fault's condition, on the piece and on the fault."""
        if role == "subject":
            return state.with_fault(self.fault, self.outcome)
        shows = state.clean_shows if self.outcome == "proven" else 0
        return state.now(condition=self.outcome, clean_shows=shows)

    def sentence(self) -> str:
        """How it ended."""
        return f"Fault {self.fault} {OUTCOMES.get(self.outcome, self.outcome)}."

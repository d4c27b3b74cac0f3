"""`faulted`: it misbehaved; a fault that comes back is the same fault."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State


@dataclass(frozen=True)
class Faulted(Kind):
    """The symptom, cold or hot, after how long. Subject: the piece; `fault` names F-…

    `when_hot`: 'cold', 'hot' or ''. `again`: the fault was known and is back.
    """

    kind: ClassVar[str] = "faulted"
    fault: str
    symptom: str
    when_hot: str = ""
    after_minutes: int | None = None
    intermittent: bool = False
    again: bool = False

    def names(self) -> dict[str, str]:
        """The fault."""
        return {"fault": self.fault}

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The fault is open and ends the evidence; its clean shows start anew."""
        condition = "intermittent" if self.intermittent else "open"
        if role == "subject":
            state = state.with_fault(self.fault, condition)
            return state.unproved(moment.day, f"fault {self.fault}", moment.number)
        return state.now(condition=condition, clean_shows=0)

    def sentence(self) -> str:
        """The symptom and when it shows."""
        start = "Fault is back" if self.again else "Fault"
        told = [self.symptom]
        if self.when_hot:
            told.append(f"when {self.when_hot}")
        if self.after_minutes is not None:
            told.append(f"after {self.after_minutes} min")
        if self.intermittent:
            told.append("comes and goes")
        return f"{start} ({self.fault}): {', '.join(told)}."

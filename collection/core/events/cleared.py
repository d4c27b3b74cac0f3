"""`cleared`: one gate of a recovery is answered, or does not apply."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from collection.core.events.kind import Kind, Moment, States
from collection.core.recovery import (
    ANSWERS,
    EVIDENCE_NEEDED,
    GATES,
    beside_the_serial,
    missing,
)
from collection.core.state import Gate, State


@dataclass(frozen=True)
class Cleared(Kind):
    """`gate`: a key of GATES. `evidence`: what the identity rests on, in words.

    `papers`: SHA-256 of what is filed for it. `rests_on`: number of the release or of the answer on
    title behind it, 0 for none. Version 1 had neither of the two. Whether whoever clears it is a
    keeper is the action's question, not the book's.
    """

    kind: ClassVar[str] = "cleared"
    version: ClassVar[int] = 2
    observed: ClassVar[bool] = False
    gate: str
    answer: str
    because: str = ""
    evidence: tuple[str, ...] = ()
    papers: tuple[str, ...] = ()
    rests_on: int = 0

    def problems(self, states: States) -> tuple[str, ...]:
        """Every reason why this gate cannot be passed like this."""
        found = []
        if self.gate not in GATES:
            found.append(f"No gate is called {self.gate}; there are {', '.join(GATES)}.")
        if self.answer not in ANSWERS:
            found.append(f"A gate is answered or does not apply, not {self.answer}.")
        if self.answer == "not-apply" and not self.because.strip():
            found.append("Say why this gate does not apply.")
        if self.answer == "answered" and not self.papers:
            found.append("File the paper or photo that answers it, or say why it does not apply.")
        if self._identity_is_thin():
            found.append("Identity needs two kinds of evidence beside the serial.")
        if states["subject"].standing != "quarantined":
            found.append("It is not in quarantine; there is no gate to pass.")
        return tuple(found)

    def _identity_is_thin(self) -> bool:
        known = len(beside_the_serial(self.evidence))
        return self.gate == "identity" and self.answer == "answered" and known < EVIDENCE_NEEDED

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The gate is passed; with the last one the piece is held again."""
        if role != "subject" or state.standing != "quarantined":
            return state
        answer: Literal["answered", "not-apply"] = (
            "not-apply" if self.answer == "not-apply" else "answered"
        )
        gate = Gate(self.gate, answer, self.because, moment.by, moment.number)
        others = tuple(passed for passed in state.gates if passed.name != self.gate)
        state = state.now(gates=(*others, gate))
        return state if missing(state) else state.now(standing="held")

    def sentence(self) -> str:
        """The gate, the answer, the reason."""
        verb = "does not apply" if self.answer == "not-apply" else "answered"
        evidence = f" ({', '.join(self.evidence)})" if self.evidence else ""
        because = f": {self.because}" if self.because else ""
        count = len(self.papers)
        filed = f"; {count} paper{'s' if count > 1 else ''} filed" if count else ""
        return f"Gate {self.gate} {verb}{evidence}{because}{filed}."

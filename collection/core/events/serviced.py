"""`serviced`: regular care that changes nothing about the piece: strings, cleaning."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State


@dataclass(frozen=True)
class Serviced(Kind):
    """What was done (strings, cleaned, demagnetised, …) and a detail such as the gauge."""

    kind: ClassVar[str] = "serviced"
    what: str
    detail: str = ""

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The day this was last done; an unknown day changes nothing."""
        if role != "subject" or not moment.day:
            return state
        serviced = dict(state.serviced) | {self.what: moment.day}
        return state.now(serviced=tuple(sorted(serviced.items())))

    def sentence(self) -> str:
        """What and the detail."""
        return f"Serviced: {self.what}" + (f", {self.detail}." if self.detail else ".")

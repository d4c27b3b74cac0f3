"""`sold`: it left the collection for money; who owns it now is `title_changed`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.state import State


@dataclass(frozen=True)
class Sold(Kind):
    """It left the collection; `to` is a party code, '' when nobody knows."""

    kind: ClassVar[str] = "sold"
    to: str = ""

    def names(self) -> dict[str, str]:
        """Who has it now, when known."""
        return {"to": self.to} if self.to else {}

    def problems(self, states: States) -> tuple[str, ...]:
        """It cannot leave when the book says it is gone already."""
        return gone(states["subject"], "was sold")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """It no longer belongs to the working collection."""
        return state.now(standing="sold") if role == "subject" else state

    def sentence(self) -> str:
        """To whom."""
        return f"Sold{f' to {self.to}' if self.to else ''}."

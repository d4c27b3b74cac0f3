"""`died`: it went silent during a show; one press."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.state import State


@dataclass(frozen=True)
class Died(Kind):
    """In which show (code) and on which position of the stage, when given."""

    kind: ClassVar[str] = "died"
    show: str = ""
    position: str = ""

    def names(self) -> dict[str, str]:
        """The show, when given."""
        return {"show": self.show} if self.show else {}

    def problems(self, states: States) -> tuple[str, ...]:
        """It cannot die on stage when the book says it is gone."""
        return gone(states["subject"], "died on stage")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Nothing proves it any more; the fault is opened by its own entry."""
        if role != "subject":
            return state
        return state.unproved(moment.day, "died on stage", moment.number)

    def sentence(self) -> str:
        """Where on stage and in which show."""
        where = f" as {self.position}" if self.position else ""
        return f"Died on stage{where}{f' ({self.show})' if self.show else ''}."

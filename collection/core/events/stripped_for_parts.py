"""`stripped_for_parts`: a piece became a donor and can no longer sound."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.state import State


@dataclass(frozen=True)
class StrippedForParts(Kind):
    """What was taken out: codes of parts, each named in its own role."""

    kind: ClassVar[str] = "stripped_for_parts"
    parts: tuple[str, ...] = ()

    def names(self) -> dict[str, str]:
        """The parts taken out, as part-1, part-2, …"""
        return {f"part-{n}": code for n, code in enumerate(self.parts, start=1)}

    def problems(self, states: States) -> tuple[str, ...]:
        """It cannot be stripped when the book says it is gone."""
        return gone(states["subject"], "was stripped for parts")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """A donor proves nothing; its parts are fitted nowhere."""
        if role == "subject":
            state = state.now(standing="stripped")
            for part in self.parts:
                state = state.without_part(part)
            return state.unproved(moment.day, "stripped for parts", moment.number)
        return state.now(fitted_in=None, position=None)

    def sentence(self) -> str:
        """What was taken."""
        taken = f": {', '.join(self.parts)}" if self.parts else ""
        return f"Stripped for parts{taken}."

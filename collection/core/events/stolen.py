"""`stolen`: it was taken; the place in the book is the last one known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class Stolen(Kind):
    """Under which incident, from where and between which moments (EDTF text, '' unknown)."""

    kind: ClassVar[str] = "stolen"
    incident: str
    from_place: str = ""
    window_from: str = ""
    window_to: str = ""

    def names(self) -> dict[str, str]:
        """The incident, and the place when known."""
        place = {"from_place": self.from_place} if self.from_place else {}
        return {"incident": self.incident} | place

    def problems(self, states: States) -> tuple[str, ...]:
        """What is gone already cannot be stolen from us."""
        subject = states["subject"]
        if subject.standing == "stolen" and subject.incident != self.incident:
            return (f"The book already says it is stolen, under {subject.incident}.",)
        if subject.standing in {"sold", "disposed", "given_back"}:
            return (f"The book says it is {subject.standing}, yet it was stolen from us.",)
        return ()

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Stolen; all evidence that it works has ended."""
        if role != "subject":
            return state
        state = state.now(standing="stolen", incident=self.incident, gates=())
        return state.unproved(moment.day, "stolen", moment.number)

    def sentence(self) -> str:
        """From where, between when and when, under which incident."""
        place = f" from {self.from_place}" if self.from_place else ""
        return f"Stolen{place}{self._window()} ({self.incident})."

    def _window(self) -> str:
        if self.window_from and self.window_to:
            return f" between {self.window_from} and {self.window_to}"
        if self.window_from:
            return f" after {self.window_from}"
        return f" before {self.window_to}" if self.window_to else ""

"""`not_found`: somebody looked for it and it was not there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class NotFound(Kind):
    """Where was looked and how (blind count, search, …); the last sighting stays as it is.

    `incident` when it is missed with others under one loss.
    """

    kind: ClassVar[str] = "not_found"
    looked_at: str
    how: str = ""
    incident: str = ""

    def names(self) -> dict[str, str]:
        """The place that was searched, and the incident when there is one."""
        incident = {"incident": self.incident} if self.incident else {}
        return {"looked_at": self.looked_at} | incident

    def problems(self, states: States) -> tuple[str, ...]:
        """What is gone already cannot be missed."""
        standing = states["subject"].standing
        if standing in {"stolen", "sold", "disposed", "given_back"}:
            return (f"The book already says it is {standing}; nobody need look for it there.",)
        return ()

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Not found, if the book thought we held it."""
        missed = role == "subject" and state.standing == "held"
        return state.now(standing="not_found") if missed else state

    def sentence(self) -> str:
        """Where, how and under which incident."""
        incident = f" ({self.incident})" if self.incident else ""
        return f"Not found at {self.looked_at}{f', {self.how}' if self.how else ''}{incident}."

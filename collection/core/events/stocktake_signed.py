"""`stocktake_signed`: somebody who did not count put their name to a stocktake."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class StocktakeSigned(Kind):
    """Subject: the stocktake. `how`: 'photos' or 'recount'; `drawn` were counted again, and of
    them `missed` were not there. That nobody signs their own count is held by the action.
    """

    kind: ClassVar[str] = "stocktake_signed"
    how: str
    list_hash: str
    drawn: tuple[str, ...] = ()
    missed: tuple[str, ...] = ()

    def problems(self, states: States) -> tuple[str, ...]:
        """Only what was closed can be signed."""
        if states["subject"].condition != "closed":
            return ("The book does not have this stocktake as closed and unsigned.",)
        return ()

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Signed, when it had been closed."""
        closed = role == "subject" and state.condition == "closed"
        return state.now(condition="signed") if closed else state

    def sentence(self) -> str:
        """By what it was signed, and what a recount missed."""
        if self.how != "recount":
            return "Signed from the photos."
        again = f"Signed after {len(self.drawn)} drawn by the list’s hash were counted again"
        if self.missed:
            return f"{again}: {', '.join(self.missed)} not there."
        return f"{again}: all there."

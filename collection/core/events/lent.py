"""`lent`: somebody else has it for a while."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.state import State


@dataclass(frozen=True)
class Lent(Kind):
    """To which party (code), until when (EDTF text, '' open) and what for."""

    kind: ClassVar[str] = "lent"
    to: str
    until: str = ""
    reason: str = ""

    def names(self) -> dict[str, str]:
        """The borrower."""
        return {"to": self.to}

    def problems(self, states: States) -> tuple[str, ...]:
        """It cannot be lent when it is gone or lent already."""
        subject = states["subject"]
        if subject.holder and subject.holder != self.to:
            return (f"The book says {subject.holder} has it, yet it was lent to {self.to}.",)
        return gone(subject, f"was lent to {self.to}")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The borrower holds it."""
        return state.now(holder=self.to) if role == "subject" else state

    def sentence(self) -> str:
        """To whom, until when, what for."""
        until = f" until {self.until}" if self.until else ""
        reason = f", {self.reason}" if self.reason else ""
        return f"Lent to {self.to}{until}{reason}."

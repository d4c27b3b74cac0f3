"""`title_changed`: somebody else owns it now; place and custody are other chains."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State


@dataclass(frozen=True)
class TitleChanged(Kind):
    """The new owner (party code) and on what the title rests."""

    kind: ClassVar[str] = "title_changed"
    bystanders: ClassVar[frozenset[str]] = frozenset({"owner"})
    owner: str
    basis: str = ""

    def names(self) -> dict[str, str]:
        """The new owner."""
        return {"owner": self.owner}

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The new owner; who has it and where stays as it was."""
        return state.now(owner=self.owner) if role == "subject" else state

    def sentence(self) -> str:
        """Who owns it and why."""
        return f"Owned by {self.owner}" + (f" ({self.basis})." if self.basis else ".")

"""`asked`: a Question is open; often the book itself asks after a contradiction."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State


@dataclass(frozen=True)
class Asked(Kind):
    """Something nobody knows yet. Subject: the question (Q-…); `about` names the thing."""

    kind: ClassVar[str] = "asked"
    question: str
    about: str = ""
    entry: int | None = None  # the entry that does not fit, when the book asks

    def names(self) -> dict[str, str]:
        """The thing it is about."""
        return {"about": self.about} if self.about else {}

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The question is open."""
        return state.now(condition="open") if role == "subject" else state

    def sentence(self) -> str:
        """The question itself."""
        return f"Question: {self.question}"

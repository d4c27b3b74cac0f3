"""`answered`: a Question found its answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State


@dataclass(frozen=True)
class Answered(Kind):
    """The answer to a question. Subject: the question (Q-…); `answers` names its entry."""

    kind: ClassVar[str] = "answered"
    answer: str

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The question is no longer open."""
        return state.now(condition="answered") if role == "subject" else state

    def sentence(self) -> str:
        """The answer itself."""
        return f"Answered: {self.answer}"

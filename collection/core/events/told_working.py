"""`told_working`: a list or a person says it works; hearsay, never evidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State


@dataclass(frozen=True)
class ToldWorking(Kind):
    """`works`: 'yes', 'no' or 'unclear'; `told_words`: as it was written."""

    kind: ClassVar[str] = "told_working"
    works: str
    told_words: str = ""

    def after(self, role: str, state: State, moment: Moment) -> State:
        """What was told and when; no proof."""
        if role != "subject":
            return state
        return state.now(told_works=self.works, told_on=moment.day)

    def sentence(self) -> str:
        """What was said, word for word when known."""
        said = {"yes": "that it works", "no": "that it does not work"}
        words = f" (“{self.told_words}”)" if self.told_words else ""
        return f"Told {said.get(self.works, 'nothing clear about working')}{words}."

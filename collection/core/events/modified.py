"""`modified`: it was made different from what it was."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State

WAY_BACK = {
    "yes": "can be reversed",
    "no": "cannot be reversed",
    "unknown": "nobody knows whether it can be reversed",
}


@dataclass(frozen=True)
class Modified(Kind):
    """What was changed, how it was `before` and `afterwards`, and whether it can go back.

    `reversible`: 'yes', 'no' or 'unknown'. `removed_part`: where it is, in words.
    """

    kind: ClassVar[str] = "modified"
    what: str
    before: str = ""
    afterwards: str = ""
    reversible: str = "unknown"
    removed_part: str = ""

    def after(self, role: str, state: State, moment: Moment) -> State:
        """A modification ends the evidence that it works."""
        if role != "subject":
            return state
        return state.unproved(moment.day, "modification", moment.number)

    def sentence(self) -> str:
        """What, from what to what, and the way back."""
        before = f" from {self.before}" if self.before else ""
        afterwards = f" to {self.afterwards}" if self.afterwards else ""
        kept = f"; removed part: {self.removed_part}" if self.removed_part else ""
        back = WAY_BACK.get(self.reversible, self.reversible)
        return f"Modified: {self.what}{before}{afterwards}; {back}{kept}."

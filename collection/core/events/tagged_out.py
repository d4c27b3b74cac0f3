"""`tagged_out`: DO NOT POWER hangs on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State, Tag


@dataclass(frozen=True)
class TaggedOut(Kind):
    """Why, and the named check that lifts it.

    `proposed`: the importer read a warning in somebody's words; it never replaces a tag that
    a person hung. A second tag adds its reason and its check to the first.
    """

    kind: ClassVar[str] = "tagged_out"
    reason: str
    check: str = "bench check with mains safety test"
    proposed: bool = False

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The tag hangs until its check lifts it; a tag that hangs ends the evidence."""
        if role != "subject":
            return state
        hung = state.tag if state.tag and not state.tag.proposed else None
        if hung and self.proposed:
            return state
        reason = _joined(hung.reason if hung else "", self.reason)
        check = _joined(hung.check if hung else "", self.check)
        state = state.now(tag=Tag(reason, check, moment.by, moment.number, self.proposed))
        # Smoke, water or a drop: what it did before says nothing of what it would do now.
        return state if self.proposed else state.unproved(moment.day, "tagged out", moment.number)

    def sentence(self) -> str:
        """Why it hangs and what lifts it."""
        start = "DO NOT POWER proposed" if self.proposed else "DO NOT POWER"
        return f"{start}: {self.reason}. Lifted by: {self.check}."


def _joined(first: str, second: str) -> str:
    return "; ".join(dict.fromkeys(part for part in (*first.split("; "), second) if part))

"""`tag_lifted`: DO NOT POWER was taken off after the named check."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class TagLifted(Kind):
    """Which check was done, by whom (party code) and with what result."""

    kind: ClassVar[str] = "tag_lifted"
    observed: ClassVar[bool] = False
    check: str
    by_whom: str = ""
    result: str = "passed"

    def names(self) -> dict[str, str]:
        """Who did the check, when given."""
        return {"by_whom": self.by_whom} if self.by_whom else {}

    def problems(self, states: States) -> tuple[str, ...]:
        """Every reason why the tag must hang on."""
        found = []
        if states["subject"].tag is None:
            found.append("No DO NOT POWER hangs on it.")
        if not self.check.strip():
            found.append("Name the check that lifts DO NOT POWER.")
        if self.result == "failed":
            found.append("The check failed; DO NOT POWER stays.")
        return tuple(found)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """No tag, unless the check failed."""
        return state.now(tag=None) if role == "subject" and self.result != "failed" else state

    def sentence(self) -> str:
        """Which check, by whom, with what result."""
        who = f" by {self.by_whom}" if self.by_whom else ""
        return f"DO NOT POWER lifted after {self.check}{who}: {self.result}."

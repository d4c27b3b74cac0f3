"""`repaired`: something was mended; it is unproven until somebody proves it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.repair_job import reached
from collection.core.state import State


@dataclass(frozen=True)
class Repaired(Kind):
    """What was done, by whom (party code) or told by whom, for which fault, on which job (codes).

    `removed_kept`: where the removed part is now, in words.
    """

    kind: ClassVar[str] = "repaired"
    version: ClassVar[int] = 2  # 2: `job`
    what: str
    by_whom: str = ""
    told_by: str = ""
    fault: str = ""
    removed_kept: str = ""
    job: str = ""

    def names(self) -> dict[str, str]:
        """Who did it, the fault and the job, when given."""
        named = {"by_whom": self.by_whom, "fault": self.fault, "job": self.job}
        return {role: code for role, code in named.items() if code}

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The fault counts as fixed; the repair itself ends earlier evidence."""
        if role == "subject":
            fixed = state.with_fault(self.fault, "fixed") if self.fault else state
            return fixed.unproved(moment.day, "repair", moment.number)
        if role == "fault":
            return state.now(condition="fixed", clean_shows=0)
        return reached(state, "done") if role == "job" else state

    def sentence(self) -> str:
        """What, by whom, for which fault, and where the old part went."""
        who = f" by {self.by_whom}" if self.by_whom else ""
        fault = f", for fault {self.fault}" if self.fault else ""
        kept = f"; removed part: {self.removed_kept}" if self.removed_kept else ""
        told = f" (told by {self.told_by})" if self.told_by else ""
        return f"Repaired{who}: {self.what}{fault}{kept}{told}."

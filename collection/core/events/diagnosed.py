"""`diagnosed`: what somebody found wrong with it; a finding, no repair."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.repair_job import reached
from collection.core.state import State


@dataclass(frozen=True)
class Diagnosed(Kind):
    """Subject: the piece. `finding` in the finder's words; the job, party and fault (codes)."""

    kind: ClassVar[str] = "diagnosed"
    bystanders: ClassVar[frozenset[str]] = frozenset({"by_whom", "fault"})
    finding: str
    job: str = ""
    by_whom: str = ""
    fault: str = ""

    def names(self) -> dict[str, str]:
        """The job, who found it, the fault, when given."""
        named = {"job": self.job, "by_whom": self.by_whom, "fault": self.fault}
        return {role: code for role, code in named.items() if code}

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The job has its diagnosis; the piece and the fault are what they were."""
        return reached(state, "diagnosed") if role == "job" else state

    def sentence(self) -> str:
        """What was found, by whom, of which fault."""
        who = f" by {self.by_whom}" if self.by_whom else ""
        fault = f" (fault {self.fault})" if self.fault else ""
        return f"Diagnosed{who}{fault}: {self.finding.rstrip('.')}."

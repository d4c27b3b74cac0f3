"""`tested`: sealed units were tried on a tester and graded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import UNEXPLAINED, short, transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class Tested(Kind):
    """Subject: the lot. `passed`: (grade, units) pairs; `failed` ones are dead."""

    kind: ClassVar[str] = "tested"
    units: int
    passed: tuple[tuple[str, int], ...] = ()
    failed: int = 0

    def problems(self, states: States) -> tuple[str, ...]:
        """More tested than sealed, or a sum that does not come out."""
        found = short(states["subject"], units=self.units, source="sealed", done="tested")
        if self._unaccounted():
            graded = self.units - self._unaccounted()
            found += (f"{self.units} were tested, yet {graded} were graded or failed.",)
        return found

    def _unaccounted(self) -> int:
        return self.units - self.failed - sum(units for _, units in self.passed)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Out of sealed into the grades, the dead, and what was not accounted for."""
        if role != "subject":
            return state
        # all of them leave the shelf as if dead; those that passed are taken back below
        state = transfer(state, units=self.units, source="sealed", target="dead")
        graded = {f"tested:{grade}": 0 for grade, _ in self.passed}
        for grade, units in self.passed:
            graded[f"tested:{grade}"] += units
        rest = {"dead": self.failed - self.units, UNEXPLAINED: self._unaccounted()}
        return state.shifted(graded | rest)

    def sentence(self) -> str:
        """How many, how they graded, how many failed."""
        graded = "".join(f", {units} good for {grade}" for grade, units in self.passed)
        return f"{self.units} tested{graded}, {self.failed} failed."

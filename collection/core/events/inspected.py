"""`inspected`: somebody tried whether it works."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, powered_under_tag
from collection.core.state import LEVELS, Level, Proof, State

HOT_AFTER_MINUTES = 20


@dataclass(frozen=True)
class Inspected(Kind):
    """How far it was tried (`level`), for how long, on which mains, with what `result`.

    `level`: powered, played-hot, bench-checked. `result`: 'works' or 'does-not'.
    Played hot takes 20 minutes (common practice, no source); less counts as powered.
    """

    kind: ClassVar[str] = "inspected"
    level: str
    result: str
    minutes: int | None = None
    mains_volts: str = ""

    def problems(self, states: States) -> tuple[str, ...]:
        """It should not have been powered under a tag."""
        return powered_under_tag(states["subject"], "was powered")

    @property
    def counts_as(self) -> Level:
        """The level this is evidence of."""
        short = self.minutes is not None and self.minutes < HOT_AFTER_MINUTES
        if self.level not in LEVELS or (self.level == "played-hot" and short):
            return "powered"
        return LEVELS[LEVELS.index(self.level)]  # the same word, with its narrower type

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Dated evidence; without a day it is only told."""
        if role != "subject":
            return state
        if self.result != "works":
            return state.unproved(moment.day, "failed check", moment.number)
        if not moment.day:
            return state.now(told_works="yes", told_on="")
        return state.proved(Proof(self.counts_as, moment.day, moment.number, self._what()))

    def _what(self) -> str:
        told = [self.level.replace("-", " ")]
        if self.minutes is not None:
            told.append(f"{self.minutes} min")
        if self.mains_volts:
            told.append(f"on {self.mains_volts} V")
        return ", ".join(told)

    def sentence(self) -> str:
        """How far, how long, on which mains, and the result."""
        result = "works" if self.result == "works" else "does not work"
        return f"Inspected ({self._what()}): {result}."

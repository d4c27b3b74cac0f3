"""`safety_tested`: mains safety: earth, insulation, cord, fuse."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State


@dataclass(frozen=True)
class SafetyTested(Kind):
    """Readings in ohms and megohms as decimals; local code and licensed practice decide.

    `cord`, `fuse`: what was found, in words. `tester`: the instrument. `lifts_tag`: this is the
    check the tag asked for.
    """

    kind: ClassVar[str] = "safety_tested"
    passed: bool
    earth_ohms: str = ""
    insulation_megohms: str = ""
    cord: str = ""
    fuse: str = ""
    tester: str = ""
    lifts_tag: bool = False

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The day it passed; a failure ends the last pass and every proof."""
        if role != "subject":
            return state
        if not self.passed:
            state = state.now(safety_passed_on=None)
            return state.unproved(moment.day, "failed safety test", moment.number)
        if self.lifts_tag:
            state = state.now(tag=None)
        return state.now(safety_passed_on=moment.day) if moment.day else state

    def sentence(self) -> str:
        """Passed or not, with the readings."""
        readings = {
            "earth {} Ω": self.earth_ohms,
            "insulation {} MΩ": self.insulation_megohms,
            "cord {}": self.cord,
            "fuse {}": self.fuse,
            "with {}": self.tester,
        }
        told = ", ".join(words.format(value) for words, value in readings.items() if value)
        verdict = "passed" if self.passed else "failed"
        lifted = "; DO NOT POWER lifted" if self.passed and self.lifts_tag else ""
        return f"Mains safety {verdict}{f': {told}' if told else ''}{lifted}."

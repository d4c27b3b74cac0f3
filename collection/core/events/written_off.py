"""`written_off`: units are given up: lost, broken, gone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import in_words, short, transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class WrittenOff(Kind):
    """Subject: the lot. From which bucket, why, and whether they are 'lost' or 'dead'."""

    kind: ClassVar[str] = "written_off"
    units: int
    bucket: str
    because: str = ""
    to: str = "lost"

    def problems(self, states: States) -> tuple[str, ...]:
        """More written off than there are."""
        subject = states["subject"]
        return short(subject, units=self.units, source=self.bucket, done="written off")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Out of the bucket into the lost or the dead."""
        if role != "subject":
            return state
        target = "dead" if self.to == "dead" else "lost"
        return transfer(state, units=self.units, source=self.bucket, target=target)

    def sentence(self) -> str:
        """How many, from where, as what, why."""
        because = f": {self.because}" if self.because else ""
        return f"{self.units} written off from {in_words(self.bucket)} as {self.to}{because}."

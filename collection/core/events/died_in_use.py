"""`died_in_use`: a tube failed where it was fitted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import short, transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class DiedInUse(Kind):
    """Subject: the lot. Which part, in which piece and position, after how many HT hours.

    `hours`: a decimal, '' unknown. `how`: how it failed, in words.
    """

    kind: ClassVar[str] = "died_in_use"
    units: int
    part: str = ""
    piece: str = ""
    position: str = ""
    hours: str = ""
    how: str = ""

    def names(self) -> dict[str, str]:
        """The part or set and the piece, when given."""
        named = {"part": self.part, "piece": self.piece}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """More taken out than were fitted, or out of another piece."""
        found = short(states["subject"], units=self.units, source="fitted", done="dead")
        sits_in = states["part"].fitted_in if "part" in states else None
        if "part" in states and (not sits_in or self.piece not in {"", sits_in}):
            where = sits_in or "no piece"
            place = f" in {self.piece}" if self.piece else ""
            found += (f"The book has {self.part} in {where}, yet it died{place}.",)
        return found

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Dead; the piece it died in is unproven."""
        if role == "subject":
            return transfer(state, units=self.units, source="fitted", target="dead")
        if role == "part":
            hours = self.hours or state.hours_before
            return state.now(fitted_in=None, position=None, grade="dead", hours_before=hours)
        state = state.without_part(self.part)
        return state.unproved(moment.day, "part died", moment.number)

    def sentence(self) -> str:
        """What died where, after how many hours, and how."""
        part = f" ({self.part})" if self.part else ""
        piece = f" in {self.piece}" if self.piece else ""
        position = f" {self.position}" if self.position else ""
        hours = f" after {self.hours} h HT" if self.hours else ""
        how = f": {self.how}" if self.how else ""
        return f"{self.units} died{part}{piece}{position}{hours}{how}."

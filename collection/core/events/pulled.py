"""`pulled`: a tube was taken out while still good; a reserve, not a death."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import short, transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class Pulled(Kind):
    """Subject: the lot. Which part, from which piece and position, with how many HT hours.

    `hours`: HT hours on the part when pulled, a decimal, '' unknown.
    `grade`: 'show', 'rehearsal' or 'bench': what it may still be used for.
    """

    kind: ClassVar[str] = "pulled"
    units: int
    grade: str
    part: str = ""
    piece: str = ""
    position: str = ""
    hours: str = ""

    def names(self) -> dict[str, str]:
        """The part or set and the piece, when given."""
        named = {"part": self.part, "piece": self.piece}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """More taken out than were fitted, or out of another piece."""
        found = short(states["subject"], units=self.units, source="fitted", done="pulled")
        sits_in = states["part"].fitted_in if "part" in states else None
        if "part" in states and (not sits_in or self.piece not in {"", sits_in}):
            where = sits_in or "no piece"
            place = f" from {self.piece}" if self.piece else ""
            found += (f"The book has {self.part} in {where}, yet it was pulled{place}.",)
        return found

    def after(self, role: str, state: State, moment: Moment) -> State:
        """In reserve with its grade and hours; the piece is unproven without it."""
        if role == "subject":
            target = f"pulled:{self.grade}"
            return transfer(state, units=self.units, source="fitted", target=target)
        if role == "part":
            hours = self.hours or state.hours_before
            return state.now(fitted_in=None, position=None, grade=self.grade, hours_before=hours)
        state = state.without_part(self.part)
        return state.unproved(moment.day, "part pulled", moment.number)

    def sentence(self) -> str:
        """What came out of where, after how many hours, and its grade."""
        part = f" ({self.part})" if self.part else ""
        piece = f" from {self.piece}" if self.piece else ""
        position = f" {self.position}" if self.position else ""
        hours = f" after {self.hours} h HT" if self.hours else ""
        return f"{self.units} pulled{part}{piece}{position}{hours}, kept for {self.grade}."

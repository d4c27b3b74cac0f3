"""`issued`: units left the shelf and were fitted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import bucket_of, in_words, short, transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class Issued(Kind):
    """Subject: the lot. As which part or set (code), into which piece (code) and position.

    `grade`: 'sealed', a grade on test, or a whole bucket such as 'pulled:show'.
    `hours_before`: HT hours the part brings along, a decimal. `because`: why a doubtful type went
    in.
    """

    kind: ClassVar[str] = "issued"
    units: int
    grade: str = "sealed"
    part: str = ""
    piece: str = ""
    position: str = ""
    hours_before: str = "0"
    because: str = ""

    def names(self) -> dict[str, str]:
        """The part or set and the piece, when given."""
        named = {"part": self.part, "piece": self.piece}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """More issued than there are, or a part that sits elsewhere."""
        bucket = bucket_of(self.grade)
        found = short(states["subject"], units=self.units, source=bucket, done="issued")
        sits_in = states["part"].fitted_in if "part" in states else None
        if sits_in and sits_in != self.piece:
            found += (f"The book has {self.part} in {sits_in}, yet it went into {self.piece}.",)
        for other, position in states["piece"].fitted if "piece" in states else ():
            if self.part and other != self.part and self.position == position != "":
                found += (f"The book has {other} in {position}, yet {self.part} went in there.",)
        return found

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Fitted; any fitting ends the evidence that the piece works."""
        if role == "subject":
            source = bucket_of(self.grade)
            return transfer(state, units=self.units, source=source, target="fitted")
        if role == "part":
            return state.now(
                fitted_in=self.piece or None,
                position=self.position or None,
                grade=self.grade,
                hours_before=self.hours_before,
            )
        if self.part:
            state = state.with_part(self.part, self.position)
        return state.unproved(moment.day, "tube change", moment.number)

    def sentence(self) -> str:
        """How many, of which grade, as what, into what."""
        part = f" as {self.part}" if self.part else ""
        piece = f" into {self.piece}" if self.piece else ""
        position = f" {self.position}" if self.position else ""
        because = f"; {self.because}" if self.because else ""
        return f"{self.units} issued ({in_words(self.grade)}){part}{piece}{position}{because}."

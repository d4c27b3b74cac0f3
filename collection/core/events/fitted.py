"""`fitted`: a part sits in a position of a piece, put there or found there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import short, transfer
from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.state import State


@dataclass(frozen=True)
class Fitted(Kind):
    """Subject: the piece. Which part or set sits where.

    `how`: 'done' by somebody, or 'found' in there. `origin`: where the part came from: 'lot',
    'bought', 'donor', 'came' (with the piece), 'unknown'; `donor`: code of the piece it came out
    of. `hours_before`, `heater_before`: hours it brought into the book on either clock, decimals;
    they count once, however often they are said. `lot`, `units`, `bucket`: what leaves a lot.
    `because`: why a doubtful type went in. `mate_of`: the set that it is left over from. `left`:
    another piece that the book had it in until now.
    """

    kind: ClassVar[str] = "fitted"
    bystanders: ClassVar[frozenset[str]] = frozenset({"set", "left"})
    part: str
    position: str = ""
    how: str = "done"
    origin: str = ""
    donor: str = ""
    hours_before: str = ""
    heater_before: str = ""
    lot: str = ""
    units: int = 1
    bucket: str = ""
    because: str = ""
    mate_of: str = ""
    left: str = ""

    def names(self) -> dict[str, str]:
        """The part, the donor, the lot, the broken set and the piece it left, when given."""
        named = {"part": self.part, "donor": self.donor, "lot": self.lot, "set": self.mate_of}
        named["left"] = self.left
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """A part that sits elsewhere or is dead, a position that is taken, a piece that is gone."""
        piece, part = states["subject"], states.get("part", State())
        found = gone(piece, f"had {self.part} fitted") if self.how == "done" else ()
        if part.fitted_in and not self._stays(part, piece):
            where = f"{part.fitted_in} {part.position or ''}".strip()
            found += (f"The book has {self.part} in {where}, yet it is in {self._where()} now.",)
        if part.grade == "dead":
            found += (f"The book has {self.part} dead, yet it is in {self._where()} now.",)
        for other, position in piece.fitted:
            if other != self.part and self.position and position == self.position:
                found += (f"The book has {other} in {position}, yet {self.part} is there now.",)
        if "lot" in states and self.bucket:
            found += short(states["lot"], units=self.units, source=self.bucket, done="fitted")
        return found

    def _stays(self, part: State, piece: State) -> bool:
        """Whether the book has it in this very place already."""
        here = not self.left and (self.part, self.position) in piece.fitted
        return here and part.position == self.position

    def _where(self) -> str:
        return self.position or "this piece"

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The part is in; what a hand has changed is unproven, what was found there is not."""
        if role in self.bystanders:
            return state
        if role == "part":
            before = self.hours_before or state.hours_before
            piece = moment.placed.entry.subject
            return state.now(
                fitted_in=piece, position=self.position or None, hours_before=before,
                grade=None if state.grade in {"dead", "kept-out", "lost"} else state.grade,
            )  # fmt: skip
        if role == "lot":
            if not self.bucket or self.bucket == "fitted":
                return state
            return transfer(state, units=self.units, source=self.bucket, target="fitted")
        if role == "donor":
            return state.without_part(self.part)
        state = state.with_part(self.part, self.position)
        if self.how == "found":
            return state
        return state.unproved(moment.day, "part fitted", moment.number)

    def sentence(self) -> str:
        """What went where or was found there, and where it came from."""
        done = "found in" if self.how == "found" else "fitted in"
        donor = f", out of {self.donor}" if self.donor else ""
        hours = f", it brought {self.hours_before} h HT along" if self.hours_before else ""
        because = f"; {self.because}" if self.because else ""
        return f"{self.part} {done} {self.position or 'it'}{donor}{hours}{because}."

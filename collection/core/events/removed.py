"""`removed`: a part left its position, taken out or missing when somebody looked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State

GOES_TO = ("pulled", "tested", "kept-out", "dead", "unknown")


@dataclass(frozen=True)
class Removed(Kind):
    """Subject: the piece. Which part or set left which position, and what becomes of it.

    `how`: 'done' by somebody, or 'found' to be out. `to`: 'pulled' or 'tested' with a `grade`,
    'kept-out' (an original that stays with its piece), 'dead', 'unknown' (nobody knows where).
    `failed`: how it failed. `lot`, `units`: what goes back into a lot's count.
    """

    kind: ClassVar[str] = "removed"
    part: str
    position: str = ""
    how: str = "done"
    to: str = "pulled"
    grade: str = ""
    failed: str = ""
    lot: str = ""
    units: int = 1

    def names(self) -> dict[str, str]:
        """The part and the lot, when given."""
        named = {"part": self.part, "lot": self.lot}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """Out of a piece that the book does not have it in; out of it, nobody knows where."""
        piece, part = states["subject"], states.get("part", State())
        found: tuple[str, ...] = ()
        if self.part not in dict(piece.fitted):
            where = part.fitted_in or "no piece"
            found += (f"The book has {self.part} in {where}, yet it came out of this piece.",)
        if self.to == "unknown":
            place = self.position or "this piece"
            found += (f"{self.part} is not in {place} as the book has it: where is it?",)
        return found

    @property
    def bucket(self) -> str:
        """The bucket of a lot that it goes to."""
        if self.to in {"pulled", "tested"}:
            return f"{self.to}:{self.grade or 'bench'}"
        return "unexplained" if self.to == "unknown" else self.to

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The part is out; a piece that a hand has been in is unproven."""
        if role == "part":
            if state.fitted_in not in {None, moment.placed.entry.subject}:
                return state  # it sits elsewhere by now
            grade = self.grade or "bench" if self.to in {"pulled", "tested"} else self.to
            return state.now(fitted_in=None, position=None, grade=grade)
        if role == "lot":
            return transfer(state, units=self.units, source="fitted", target=self.bucket)
        state = state.without_part(self.part)
        because = "part removed" if self.how == "done" else f"{self.position or 'a part'} missing"
        return state.unproved(moment.day, because, moment.number)

    def sentence(self) -> str:
        """What left where and what became of it."""
        place = f" from {self.position}" if self.position else ""
        failed = f": {self.failed}" if self.failed else ""
        if self.how == "found":
            return f"{self.part} not in {self.position or 'it'} any more{self._became()}{failed}."
        return f"{self.part} removed{place}{self._became()}{failed}."

    def _became(self) -> str:
        words = {
            "pulled": f", kept for {self.grade or 'bench'}",
            "tested": f", tested good for {self.grade or 'bench'}",
            "kept-out": ", kept out with its piece",
            "dead": ", dead",
            "unknown": ", nobody knows where it is",
        }
        return words.get(self.to, "")

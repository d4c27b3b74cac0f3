"""`kept_out`: units are kept off the shelf, as an original that stays with its piece."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import in_words, short, transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State

KEPT_OUT = "kept-out"


@dataclass(frozen=True)
class KeptOut(Kind):
    """Subject: the lot. How many leave which bucket, why, and the piece they are kept for.

    `back_to`: a bucket where units go that were kept out until now; `bucket` is 'kept-out' then.
    """

    kind: ClassVar[str] = "kept_out"
    bystanders: ClassVar[frozenset[str]] = frozenset({"piece"})
    units: int
    bucket: str = "sealed"
    because: str = ""
    piece: str = ""
    back_to: str = ""

    def names(self) -> dict[str, str]:
        """The piece, when given; keeping a spare for it changes nothing of it."""
        return {"piece": self.piece} if self.piece else {}

    def problems(self, states: States) -> tuple[str, ...]:
        """More than the bucket holds."""
        done = "put back" if self.back_to else "kept out"
        return short(states["subject"], units=self.units, source=self._source, done=done)

    @property
    def _source(self) -> str:
        return KEPT_OUT if self.back_to else self.bucket

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Kept out, or back on the shelf; never counted as a spare while kept out."""
        if role != "subject":
            return state
        target = self.back_to or KEPT_OUT
        return transfer(state, units=self.units, source=self._source, target=target)

    def sentence(self) -> str:
        """How many, from where, for which piece, why."""
        piece = f" for {self.piece}" if self.piece else ""
        because = f": {self.because}" if self.because else ""
        if self.back_to:
            return f"{self.units} kept out until now, back as {in_words(self.back_to)}{because}."
        return f"{self.units} kept out{piece}, from {in_words(self.bucket)}{because}."

"""`parted`: a set came apart; mates that live on are loose again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import short, transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State

APART = "apart"


@dataclass(frozen=True)
class Parted(Kind):
    """Subject: the set. `tubes`: those that live on, each with `hours`, kept for `grade`.

    `source`: the bucket in which the lot counts the set, 'dead' after it died in use. `lost`: tubes
    of the set that are dead now and were not counted so before. A set dies with its first tube,
    since what failed was the set; its mates are judged one by one.
    """

    kind: ClassVar[str] = "parted"
    lot: str
    tubes: tuple[str, ...]
    source: str = "dead"
    grade: str = "show"
    hours: str = ""
    lost: int = 0
    because: str = ""

    def names(self) -> dict[str, str]:
        """The lot and every tube that lives on."""
        return {"lot": self.lot} | {f"tube-{n}": code for n, code in enumerate(self.tubes, 1)}

    def problems(self, states: States) -> tuple[str, ...]:
        """A set that still sits in a piece, or units that its bucket does not hold."""
        sits_in = states["subject"].fitted_in
        found: tuple[str, ...] = ()
        if sits_in:
            found += (f"The book has the set in {sits_in}, yet it came apart.",)
        units = len(self.tubes) + self.lost
        return found + short(states["lot"], units=units, source=self.source, done="parted")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Each mate is pulled with its grade; the set is no set any more."""
        bucket = f"pulled:{self.grade}"
        if role == "subject":
            return state.now(grade=APART)
        if role != "lot":
            hours = self.hours or state.hours_before
            return state.now(set_of=None, fitted_in=None, grade=bucket, hours_before=hours)
        state = transfer(state, units=len(self.tubes), source=self.source, target=bucket)
        if self.lost:
            state = transfer(state, units=self.lost, source=self.source, target="dead")
        return state

    def sentence(self) -> str:
        """Which mates live on, for what, after how many hours."""
        hours = f" after {self.hours} h HT" if self.hours else ""
        lost = f"; {self.lost} dead" if self.lost else ""
        because = f": {self.because}" if self.because else ""
        kept = f"{', '.join(self.tubes)} kept for {self.grade}{hours}"
        return f"The set came apart, {kept}{lost}{because}."

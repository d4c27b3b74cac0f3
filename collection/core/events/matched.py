"""`matched`: loose tubes became a set that stays together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import short, transfer
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class Matched(Kind):
    """Subject: the set. `readings`: (tube, mA, gm in µmho) rows, taken under `conditions`.

    `bucket`: where the lot counts the set; `moves`: (bucket, units) of tubes that the lot counted
    elsewhere, as a mate from the reserve. Spreads and tolerances are percent of the larger reading.
    `hours_before`: HT hours of its oldest tube.
    """

    kind: ClassVar[str] = "matched"
    lot: str
    bucket: str
    readings: tuple[tuple[str, str, str], ...]
    conditions: str = ""
    current_spread: str = ""
    gm_spread: str = ""
    current_tolerance: str = ""
    gm_tolerance: str = ""
    moves: tuple[tuple[str, int], ...] = ()
    hours_before: str = "0"

    @property
    def tubes(self) -> tuple[str, ...]:
        """Codes of the tubes."""
        return tuple(code for code, _, _ in self.readings)

    def names(self) -> dict[str, str]:
        """The lot and every tube."""
        return {"lot": self.lot} | {f"tube-{n}": code for n, code in enumerate(self.tubes, 1)}

    def problems(self, states: States) -> tuple[str, ...]:
        """A tube that is not loose, or more moved than a bucket holds."""
        found: tuple[str, ...] = ()
        for role, code in self.names().items():
            if role != "lot":
                found += _not_loose(code, states[role])
        for bucket, units in self.moves:
            found += short(states["lot"], units=units, source=bucket, done="matched")
        return found

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The set is counted in its bucket and the tubes belong to it; nothing is made or lost."""
        if role == "subject":
            return state.now(grade=self.bucket, hours_before=self.hours_before)
        if role != "lot":
            return state.now(set_of=moment.placed.entry.subject, grade=self.bucket)
        for bucket, units in self.moves:
            state = transfer(state, units=units, source=bucket, target=self.bucket)
        return state

    def sentence(self) -> str:
        """Which tubes, how far apart, under which conditions."""
        apart = f", {self.current_spread} % apart in current" if self.current_spread else ""
        apart += f" and {self.gm_spread} % in gm" if self.gm_spread else ""
        under = f"; {self.conditions}" if self.conditions else ""
        return f"Matched: {', '.join(self.tubes)}{apart}{under}."


def _not_loose(code: str, state: State) -> tuple[str, ...]:
    if state.set_of:
        return (f"The book has {code} in {state.set_of} already.",)
    if state.fitted_in:
        return (f"The book has {code} in {state.fitted_in}, yet it was matched.",)
    return (f"The book says {code} is dead, yet it was matched.",) if state.grade == "dead" else ()

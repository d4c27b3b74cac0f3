"""`meter_read`: an hour meter on a piece was read."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class MeterRead(Kind):
    """Subject: the piece. The reading in hours, a decimal, and the clock the meter runs on.

    `clock`: 'heater' or 'ht'. `replaced`: another meter, or one set back to nought; `old_read`:
    what the old one said last, a decimal, '' when nobody looked.
    """

    kind: ClassVar[str] = "meter_read"
    hours: str
    clock: str = "heater"
    replaced: bool = False
    old_read: str = ""

    def problems(self, states: States) -> tuple[str, ...]:
        """A meter that goes back, or was replaced with nobody having read the old one."""
        before = dict(states["subject"].meters).get(self.clock)
        if before is None:
            return ()
        if self.replaced:
            if self.old_read:
                return _back(before, self.old_read)
            return (
                f"The {self.words} meter was replaced; it said {before} h when it was last read. "
                "What did it say when it came out?",
            )
        return _back(before, self.hours)

    @property
    def words(self) -> str:
        """The clock as people say it."""
        return "HT" if self.clock == "ht" else "heater"

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The last reading of the clock; hours of parts go by what was logged, not by this."""
        if role != "subject":
            return state
        return state.now(
            meters=tuple(sorted((dict(state.meters) | {self.clock: self.hours}).items()))
        )

    def sentence(self) -> str:
        """What it said."""
        called = "HT" if self.clock == "ht" else "Heater"
        if not self.replaced:
            return f"{called} meter read: {self.hours} h."
        old = f" (the old one said {self.old_read} h)" if self.old_read else ""
        return f"{called} meter replaced{old}; it starts at {self.hours} h."


def _back(before: str, now: str) -> tuple[str, ...]:
    try:
        went_back = Decimal(now) < Decimal(before)
    except InvalidOperation:
        return (f"The meter was read as {now}, which is no number of hours.",)
    if not went_back:
        return ()
    return (
        f"The meter said {before} h before and says {now} h now: it went back or was replaced.",
    )

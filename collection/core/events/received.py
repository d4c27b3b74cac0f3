"""`received`: units of a lot arrived and were counted on the shelf."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class Received(Kind):
    """Subject: the lot. `units` counted, `delivery_note_units` promised, from a party (code)."""

    kind: ClassVar[str] = "received"
    units: int
    delivery_note_units: int | None = None
    from_whom: str = ""

    def names(self) -> dict[str, str]:
        """Who delivered, when given."""
        return {"from_whom": self.from_whom} if self.from_whom else {}

    def problems(self, states: States) -> tuple[str, ...]:
        """The paper and the shelf disagree."""
        noted = self.delivery_note_units
        if noted is None or noted == self.units:
            return ()
        return (f"The delivery note says {noted}, the shelf holds {self.units}.",)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """More sealed units: what was counted, not what was promised."""
        return state.shifted({"sealed": self.units}) if role == "subject" else state

    def sentence(self) -> str:
        """How many, from whom, and what the paper says."""
        source = f" from {self.from_whom}" if self.from_whom else ""
        differs = self.delivery_note_units not in (None, self.units)
        note = f" (the delivery note says {self.delivery_note_units})" if differs else ""
        return f"{self.units} received{source}{note}."

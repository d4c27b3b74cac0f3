"""`moved`: a piece, part, lot or case was taken to another place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.state import Seen, State

FREIGHT = {
    "freight-road": "freight by road",
    "freight-sea": "freight by sea",
    "freight-air": "freight by air",
}


@dataclass(frozen=True)
class Moved(Kind):
    """It was put at `to`, by hand or by freight; `holder` when somebody else now has it.

    Freight ends the evidence that a piece works (domain rule: working is dated evidence).
    Moving never changes the standing: a stolen piece seen moving is still stolen.
    """

    kind: ClassVar[str] = "moved"
    bystanders: ClassVar[frozenset[str]] = frozenset({"to", "holder"})
    to: str
    manner: str = "carried"
    holder: str = ""

    def names(self) -> dict[str, str]:
        """The place, and the holder when one is named."""
        return {"to": self.to} | ({"holder": self.holder} if self.holder else {})

    def problems(self, states: States) -> tuple[str, ...]:
        """What the book said before does not fit a move."""
        if states["subject"].standing == "not_found":
            return (f"The book says it is not found, yet it was moved to {self.to}.",)
        return gone(states["subject"], f"was moved to {self.to}")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """New place and sighting; freight leaves it unproven."""
        if role != "subject":
            return state
        entry = moment.placed.entry
        seen = Seen(moment.placed.placed_us, moment.by, self.to, entry.source, entry.number)
        state = state.now(place=self.to, seen=seen, holder=self.holder or None)
        if self.manner in FREIGHT:
            return state.unproved(moment.day, FREIGHT[self.manner], entry.number)
        return state

    def sentence(self) -> str:
        """Where it went and how."""
        how = f", {FREIGHT[self.manner]}" if self.manner in FREIGHT else ""
        who = f", now with {self.holder}" if self.holder else ""
        return f"Moved to {self.to}{how}{who}."

"""`arrived`: a shipment came; what was in it and how it looked, before anything is powered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.events.shipped import numbered
from collection.core.freight import ARRIVED, INDICATORS, PART_ARRIVED
from collection.core.state import Seen, State

FREIGHT = "freight"


@dataclass(frozen=True)
class Arrived(Kind):
    """Subject: the shipment. `at`: the place (code); `things` came, `missing` did not.

    `inside`: pieces in the cases that came. `others`: what came and was not sent, in words.
    `waited_minutes`: how long it warmed in its closed case, None when nobody waited or said so.
    `outside`: how the case looked, '' for sound. `indicator`: key of `freight.INDICATORS`.
    """

    kind: ClassVar[str] = "arrived"
    bystanders: ClassVar[frozenset[str]] = frozenset({"at"})
    at: str
    things: tuple[str, ...] = ()
    inside: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    waited_minutes: int | None = None
    outside: str = ""
    indicator: str = ""

    def names(self) -> dict[str, str]:
        """The place, what came, what was in it, and what did not come."""
        came = numbered(self.things, "thing") | numbered(self.inside, "inside")
        return {"at": self.at} | came | numbered(self.missing, "missing")

    def problems(self, states: States) -> tuple[str, ...]:
        """It had arrived already, something is missing, something else came, it was knocked."""
        found = []
        if states["subject"].condition == ARRIVED:
            found.append("The book says that this shipment has arrived already.")
        found += [f"Sent and not arrived: {code}." for code in self.missing]
        found += [f"Arrived and not sent: {words.rstrip('.')}." for words in self.others]
        if self.indicator == "tripped":
            found.append("The indicator had tripped on arrival: what happened on the way?")
        return tuple(found)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """What came stands here and has to be proved again; what did not is still on the way."""
        if role == "subject":
            return state.now(condition=PART_ARRIVED if self.missing else ARRIVED)
        entry = moment.placed.entry
        if role.startswith("thing-"):
            us = moment.placed.placed_us
            seen = Seen(us, moment.by, self.at, entry.source, entry.number)
            state = state.now(place=self.at, seen=seen)
            return state.unproved(moment.day, FREIGHT, entry.number)
        if role.startswith("inside-"):
            return state.unproved(moment.day, FREIGHT, entry.number)
        return state

    def sentence(self) -> str:
        """Where, what came, what did not, what came instead, how it looked."""
        came = f": {', '.join(self.things)}" if self.things else ": nothing of what was sent"
        missing = f"; not arrived: {', '.join(self.missing)}" if self.missing else ""
        others = f"; not sent, yet here: {', '.join(self.others)}" if self.others else ""
        waited = f"; warmed for {self.waited_minutes} min" if self.waited_minutes else ""
        outside = f"; outside: {self.outside.rstrip('.')}" if self.outside else ""
        shown = (
            f"; {INDICATORS[self.indicator]}" if self.indicator in {*INDICATORS} - {"none"} else ""
        )
        return f"Arrived at {self.at}{came}{missing}{others}{waited}{outside}{shown}."

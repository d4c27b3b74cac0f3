"""`shipped`: pieces and cases were handed to somebody who brings them; they are nowhere else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.freight import ON_THE_WAY
from collection.core.state import Seen, State


def numbered(things: tuple[str, ...], role: str) -> dict[str, str]:
    """Codes by the roles in which an entry names them: 'thing-1', 'thing-2'."""
    return {f"{role}-{n}": code for n, code in enumerate(things, 1)}


@dataclass(frozen=True)
class Shipped(Kind):
    """Subject: the shipment, which is the place of what it carries until it arrives.

    `to`, `origin`: places, `carrier`: a party (codes); `carrier_words` where none is on record.
    `things`: codes handed over; `inside`: pieces in the cases among them. `expected`: ISO instant
    with the offset of the destination. `crosses`: countries passed, two letters each, in order.
    `cautions`: keys of `freight.CAUTIONS`.
    """

    kind: ClassVar[str] = "shipped"
    bystanders: ClassVar[frozenset[str]] = frozenset({"carrier", "origin", "to"})
    to: str
    things: tuple[str, ...]
    inside: tuple[str, ...] = ()
    origin: str = ""
    carrier: str = ""
    carrier_words: str = ""
    waybill: str = ""
    expected: str = ""
    crosses: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    def names(self) -> dict[str, str]:
        """Places, carrier, everything handed over and everything in its cases."""
        named = {"to": self.to, "origin": self.origin, "carrier": self.carrier}
        known = {role: code for role, code in named.items() if code}
        return known | numbered(self.things, "thing") | numbered(self.inside, "inside")

    def problems(self, states: States) -> tuple[str, ...]:
        """Something in it has left the collection, or nobody could find it."""
        found: list[str] = []
        for role, code in (
            numbered(self.things, "thing") | numbered(self.inside, "inside")
        ).items():
            state = states[role]
            if state.standing == "not_found":
                found.append(f"The book says {code} is not found, yet it was shipped.")
            found += [f"{code}: {told}" for told in gone(state, "was shipped")]
        return tuple(found)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """What was handed over stands in the shipment; what is in a case goes along with it."""
        entry = moment.placed.entry
        if role == "subject":
            return state.now(condition=ON_THE_WAY)
        if not role.startswith("thing-"):
            return state
        us = moment.placed.placed_us
        seen = Seen(us, moment.by, entry.subject, entry.source, entry.number)
        return state.now(place=entry.subject, seen=seen)

    def sentence(self) -> str:
        """What went, from where to where, by whom, when it is expected."""
        origin = f" from {self.origin}" if self.origin else ""
        by_whom = self.carrier or self.carrier_words
        carrier = f" with {by_whom}" if by_whom else ""
        waybill = f", waybill {self.waybill}" if self.waybill else ""
        day, _, clock = self.expected.partition("T")
        expected = f", expected {day} {clock[:5]}".rstrip() if day else ""
        things = ", ".join(self.things)
        return f"Shipped{origin} to {self.to}{carrier}: {things}{waybill}{expected}."

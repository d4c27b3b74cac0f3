"""`returned`: it came back from whoever had it; what it went through is not known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.loan import counted, not_back, one_back
from collection.core.state import Seen, State


@dataclass(frozen=True)
class Returned(Kind):
    """From which party (code) and to which place (code), when given.

    Since version 2 also on which loan (code), and pairs of what went with it and whether it is
    back: 'came' or 'missing'.
    """

    kind: ClassVar[str] = "returned"
    version: ClassVar[int] = 2
    bystanders: ClassVar[frozenset[str]] = frozenset({"from_whom", "at"})
    from_whom: str = ""
    at: str = ""
    loan: str = ""
    came_with: tuple[tuple[str, str], ...] = ()

    @classmethod
    def upcast(cls, facts: Mapping[str, Any], version: int) -> Mapping[str, Any]:
        """A return of the first version is on no sheet."""
        return {"loan": "", "came_with": [], **facts}

    def names(self) -> dict[str, str]:
        """The borrower, the place and the loan, when given."""
        named = {"from_whom": self.from_whom, "at": self.at, "loan": self.loan}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """Nobody had it, or somebody else; or something that went along is not back."""
        holder = states["subject"].holder
        found = list(gone(states["subject"], "came back"))
        if not holder:
            found.append("The book says nobody has it, yet it came back.")
        elif self.from_whom and holder != self.from_whom:
            told = f"The book says {holder} has it, yet it came back from {self.from_whom}."
            found.append(told)
        loan = f"Loan {self.loan}" if self.loan else "The loan"
        found += [f"{loan}, went along and not back: {what}." for what in not_back(self.came_with)]
        return tuple(found)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Nobody else has it; a loan ends the evidence that it works."""
        if role == "loan":
            return one_back(state)
        if role != "subject":
            return state
        entry = moment.placed.entry
        if self.at:
            us = moment.placed.placed_us
            seen = Seen(us, moment.by, self.at, entry.source, entry.number)
            state = state.now(place=self.at, seen=seen)
        return state.now(holder=None).unproved(moment.day, "return from loan", entry.number)

    def sentence(self) -> str:
        """From whom, to where, and what went along one by one."""
        source = f" from {self.from_whom}" if self.from_whom else ""
        at = f" to {self.at}" if self.at else ""
        return f"Came back{source}{at}{counted(self.came_with)}."

"""`hired_back`: somebody else's piece went back to them; it is no longer ours to use."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.loan import counted, not_back, one_back
from collection.core.state import Seen, State


@dataclass(frozen=True)
class HiredBack(Kind):
    """To which party (code), to which place (code) when known, on which loan.

    `went_with`: pairs of what came with it and whether it went back: 'came' or 'missing'.
    """

    kind: ClassVar[str] = "hired_back"
    bystanders: ClassVar[frozenset[str]] = frozenset({"to", "at"})
    to: str
    at: str = ""
    loan: str = ""
    went_with: tuple[tuple[str, str], ...] = ()

    def names(self) -> dict[str, str]:
        """Whose it is, the place and the loan, when given."""
        named = {"to": self.to, "at": self.at, "loan": self.loan}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """It belongs to somebody else, or something that came along did not go back."""
        subject = states["subject"]
        found = list(gone(subject, f"was given back to {self.to}"))
        if subject.owner and subject.owner != self.to:
            found.append(f"The book says {subject.owner} owns it, yet it went back to {self.to}.")
        loan = f"Loan {self.loan}" if self.loan else "The loan"
        found += [f"{loan}, came along and did not go back: {w}." for w in not_back(self.went_with)]
        return tuple(found)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Its owner has it; what was stolen or in quarantine stays so until it is cleared."""
        if role == "loan":
            return one_back(state)
        if role != "subject":
            return state
        entry = moment.placed.entry
        us = moment.placed.placed_us
        back = "given_back" if state.standing in {"held", "not_found"} else state.standing
        state = state.now(standing=back, holder=self.to, place=self.at or None)
        if self.at:
            seen = Seen(us, moment.by, self.at, entry.source, entry.number)
            state = state.now(seen=seen)
        return state.unproved(moment.day, "given back", entry.number)

    def sentence(self) -> str:
        """To whom, to where, and what came along one by one."""
        at = f" at {self.at}" if self.at else ""
        loan = f", loan {self.loan}" if self.loan else ""
        return f"Given back to {self.to}{at}{loan}{counted(self.went_with)}."

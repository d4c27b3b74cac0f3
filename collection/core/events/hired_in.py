"""`hired_in`: somebody else's piece is ours to use for a while, for money or as a favour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.loan import one_out
from collection.core.state import Seen, State

HIRED, BORROWED = "hired", "borrowed"


@dataclass(frozen=True)
class HiredIn(Kind):
    """From which party (code), from when until when (EDTF text), on which loan, what for.

    `terms`: 'hired' for money, 'borrowed' without. `at`: the place (code) where it was handed
    over; '' while it is still to be brought. Whatever is known of it so far is hearsay.
    """

    kind: ClassVar[str] = "hired_in"
    bystanders: ClassVar[frozenset[str]] = frozenset({"from_whom", "at"})
    from_whom: str
    until: str = ""
    reason: str = ""
    since: str = ""
    loan: str = ""
    terms: str = HIRED
    at: str = ""
    authorised_by: str = ""

    def names(self) -> dict[str, str]:
        """Whose it is, the loan and the place, when given."""
        named = {"from_whom": self.from_whom, "loan": self.loan, "at": self.at}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """The book says that it belongs to somebody else."""
        owner = states["subject"].owner
        if owner and owner != self.from_whom:
            return (f"The book says {owner} owns it, yet it came from {self.from_whom}.",)
        return ()

    def after(self, role: str, state: State, moment: Moment) -> State:
        """It is with us, unproven; whose it is stays whose it is."""
        if role == "loan":
            return one_out(state)
        if role != "subject":
            return state
        entry = moment.placed.entry
        back = "held" if state.standing == "given_back" else state.standing
        state = state.now(standing=back, holder=None, owner=state.owner or self.from_whom)
        if self.at:
            us = moment.placed.placed_us
            seen = Seen(us, moment.by, self.at, entry.source, entry.number)
            state = state.now(place=self.at, seen=seen)
        return state.unproved(moment.day, f"{self.terms} from somebody else", entry.number)

    def sentence(self) -> str:
        """From whom, until when, what for."""
        until = f" until {self.until}" if self.until else ""
        reason = f", {self.reason}" if self.reason else ""
        loan = f", loan {self.loan}" if self.loan else ""
        return f"{self.terms.capitalize()} from {self.from_whom}{until}{reason}{loan}."

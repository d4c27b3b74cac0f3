"""`lent`: somebody else has it for a while."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.loan import one_out
from collection.core.state import State


@dataclass(frozen=True)
class Lent(Kind):
    """To which party (code), until when (EDTF text, '' open) and what for.

    Since version 2 also from when (`since`), on which loan (code), with what along, and who
    authorised it. What it is worth stays out of the book: the sheet of the loan knows.
    """

    kind: ClassVar[str] = "lent"
    version: ClassVar[int] = 2
    bystanders: ClassVar[frozenset[str]] = frozenset({"to"})
    to: str
    until: str = ""
    reason: str = ""
    since: str = ""
    loan: str = ""
    goes_with: tuple[str, ...] = ()
    authorised_by: str = ""

    @classmethod
    def upcast(cls, facts: Mapping[str, Any], version: int) -> Mapping[str, Any]:
        """A loan of the first version is on no sheet."""
        return {"since": "", "loan": "", "goes_with": [], "authorised_by": "", **facts}

    def names(self) -> dict[str, str]:
        """The borrower, and the loan when there is one."""
        return {"to": self.to} | ({"loan": self.loan} if self.loan else {})

    def problems(self, states: States) -> tuple[str, ...]:
        """It cannot be lent when it is gone or lent already."""
        subject = states["subject"]
        if subject.holder and subject.holder != self.to:
            return (f"The book says {subject.holder} has it, yet it was lent to {self.to}.",)
        return gone(subject, f"was lent to {self.to}")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The borrower holds it."""
        if role == "loan":
            return one_out(state)
        return state.now(holder=self.to) if role == "subject" else state

    def sentence(self) -> str:
        """To whom, until when, what for."""
        until = f" until {self.until}" if self.until else ""
        reason = f", {self.reason}" if self.reason else ""
        along = f", with {', '.join(self.goes_with)}" if self.goes_with else ""
        loan = f", loan {self.loan}" if self.loan else ""
        return f"Lent to {self.to}{until}{reason}{along}{loan}."

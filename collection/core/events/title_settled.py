"""`title_settled`: the insurer's word on who owns a recovered piece."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, States

OUTCOMES = {
    "ours": "it is ours",
    "insurers": "it is the insurer's",
    "open": "not decided yet",
}


@dataclass(frozen=True)
class TitleSettled(Kind):
    """`outcome`: a key of OUTCOMES. `insurer`: party code. `paid`: whether a claim was paid.

    `terms`: what the answer hangs on, such as a sum to be paid back. `papers`: SHA-256 of what is
    filed for it. It moves no ownership: `title_changed` does, once everybody has signed.
    """

    kind: ClassVar[str] = "title_settled"
    outcome: str
    incident: str = ""
    insurer: str = ""
    paid: bool = False
    reference: str = ""
    terms: str = ""
    papers: tuple[str, ...] = ()

    def names(self) -> dict[str, str]:
        """The incident and the insurer, when given."""
        named = {"incident": self.incident, "insurer": self.insurer}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """An answer is one of the three, about something that came back."""
        found = []
        if self.outcome not in OUTCOMES:
            found.append(f"An answer is {', '.join(OUTCOMES)}, not {self.outcome}.")
        standing = states["subject"].standing
        if standing not in {"quarantined", "stolen"}:
            said = standing.replace("_", " ")
            found.append(f"The book says it is {said}; no title waits to be settled.")
        return tuple(found)

    def sentence(self) -> str:
        """The answer, from whom, whether they paid, on which terms."""
        who = self.insurer or "the insurer"
        paid = "a claim was paid" if self.paid else "no claim was paid"
        under = f", reference {self.reference}" if self.reference else ""
        terms = f"; terms: {self.terms.removesuffix('.')}" if self.terms else ""
        return (
            f"Title, says {who}: {OUTCOMES.get(self.outcome, self.outcome)} ({paid}{under}){terms}."
        )

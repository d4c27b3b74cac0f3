"""`acquired`: how a piece came into the collection."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment
from collection.core.state import State

METHODS = {
    "bought": "Bought",
    "given": "Given",
    "inherited": "Inherited",
    "found": "Found",
    "commissioned": "Made to order",
    "unknown": "Acquired, how is not known",
}


@dataclass(frozen=True)
class Acquired(Kind):
    """How, from whom, and who told it.

    `method`: a key of METHODS. `from_whom` and `owner`: party codes. `told_from`: who told it,
    in words. `direct`: whether it came straight from the one named; None when nobody knows.
    """

    kind: ClassVar[str] = "acquired"
    method: str
    from_whom: str = ""
    told_from: str = ""
    direct: bool | None = None
    owner: str = ""

    def names(self) -> dict[str, str]:
        """Who it came from and who owns it, when given."""
        named = {"from_whom": self.from_whom, "owner": self.owner}
        return {role: code for role, code in named.items() if code}

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The owner, when one is given."""
        return state.now(owner=self.owner) if role == "subject" and self.owner else state

    def sentence(self) -> str:
        """How it came, from whom, for whom and who says so."""
        source = f" from {self.from_whom}" if self.from_whom else ""
        broken = ", not directly" if self.direct is False and self.from_whom else ""
        owner = f" for {self.owner}" if self.owner else ""
        told = f" (told: {self.told_from})" if self.told_from else ""
        return f"{METHODS.get(self.method, self.method)}{source}{broken}{owner}{told}."

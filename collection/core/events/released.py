"""`released`: whoever held a recovered piece as evidence gave it back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, States


@dataclass(frozen=True)
class Released(Kind):
    """`by_whom`, `to`: party codes, '' for one of us. `reference`: the release's own number.

    `chain`: through whose hands it went since it was found, in order, in words. `papers`: SHA-256
    of what is filed for it. A release alone frees nothing: it is what the first gate rests on.
    """

    kind: ClassVar[str] = "released"
    incident: str = ""
    by_whom: str = ""
    to: str = ""
    reference: str = ""
    chain: tuple[str, ...] = ()
    papers: tuple[str, ...] = ()

    def names(self) -> dict[str, str]:
        """The incident, who let it go and who took it, when given."""
        named = {"incident": self.incident, "by_whom": self.by_whom, "to": self.to}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """What nobody holds apart cannot be released."""
        standing = states["subject"].standing
        if standing != "quarantined":
            return (
                f"The book says it is {standing.replace('_', ' ')}, not waiting in quarantine.",
            )
        return ()

    def sentence(self) -> str:
        """By whom to whom, under which number, through whose hands."""
        by = f" by {self.by_whom}" if self.by_whom else ""
        to = f" to {self.to}" if self.to else ""
        under = f", reference {self.reference}" if self.reference else ""
        chain = f"; chain of custody: {'; '.join(self.chain)}" if self.chain else ""
        return f"Released{by}{to}{under}{chain}."

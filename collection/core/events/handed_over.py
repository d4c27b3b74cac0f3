"""`handed_over`: somebody else looks after the gear from now on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.date_sentence import sentence as date_in_words
from collection.core.events.kind import Kind


@dataclass(frozen=True)
class HandedOver(Kind):
    """Subject: the handover. Codes of who hands over and who takes over; why; until when.

    `until`: EDTF, '' for good. Names stay out: they stand with the parties and can be erased.
    """

    kind: ClassVar[str] = "handed_over"
    bystanders: ClassVar[frozenset[str]] = frozenset({"outgoing", "incoming"})
    outgoing: str
    incoming: str
    because: str = ""
    until: str = ""

    def names(self) -> dict[str, str]:
        """Both people."""
        return {"outgoing": self.outgoing, "incoming": self.incoming}

    def sentence(self) -> str:
        """Who takes over from whom, until when, why."""
        until = f" until {date_in_words(self.until)}" if self.until else ""
        because = f": {self.because.removesuffix('.')}" if self.because else ""
        return f"{self.incoming} took over from {self.outgoing}{until}{because}."

"""`redacted`: personal data was taken out; the leaf and every proof stay."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind

WORDS, PHOTO, PERSON = "words", "photo", "person"


@dataclass(frozen=True)
class Redacted(Kind):
    """What was taken out: words of an entry, bytes of a photo, or what is kept of a person.

    `entry`: number of the entry whose words went. `photo`: SHA-256 of the bytes that went.
    `person`: code of the person or firm it was done for. It changes no state, whenever it comes.
    """

    kind: ClassVar[str] = "redacted"
    what: str
    because: str
    entry: int | None = None
    photo: str = ""
    person: str = ""

    def names(self) -> dict[str, str]:
        """For whom it was done."""
        return {"person": self.person} if self.person else {}

    def sentence(self) -> str:
        """What was taken out and why."""
        return f"{self._gone()} taken out: {self.because.rstrip('.')}."

    def _gone(self) -> str:
        if self.what == WORDS:
            return f"Words of entry {self.entry}"
        if self.what == PHOTO:
            return f"Photo with SHA-256 {self.photo[:8]}…"
        return "What was kept of this person or firm"

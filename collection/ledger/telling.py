"""How an entry came to the book."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any


@dataclass(frozen=True)
class Telling:
    """How an entry came: when it happened, how it is known, in whose words."""

    happened: str = ""
    source: str = "seen"
    source_note: str = ""
    certainty: str = "certain"
    words: str = ""
    written_at: datetime | None = None
    once: str | None = None


def tell(**how: Any) -> Telling:
    """A Telling from what a form gives, without its empty values."""
    return Telling(**{name: value for name, value in how.items() if value not in (None, "")})

"""`noted`: one line somebody wanted kept; the words themselves stand beside the facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from collection.core.events.kind import Kind


@dataclass(frozen=True)
class Noted(Kind):
    """A note; `about` is a song or a position, in words.

    Since version 2 also whether the thing is odd but normal (`odd`): nobody should mend it.
    """

    kind: ClassVar[str] = "noted"
    version: ClassVar[int] = 2
    about: str = ""
    odd: bool = False

    @classmethod
    def upcast(cls, facts: Mapping[str, Any], version: int) -> Mapping[str, Any]:
        """No note of the first version was marked."""
        return {"odd": False, **facts}

    def sentence(self) -> str:
        """What it is about; the page prints the words below."""
        if self.odd:
            return f"Odd but normal, about {self.about}." if self.about else "Odd but normal."
        return f"Note about {self.about}." if self.about else "Note."

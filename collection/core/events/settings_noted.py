"""`settings_noted`: where every control stood, in words as they are chalked on a board."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind

SHOWN = 3  # pairs in a sentence; the entry has all of them
Pairs = tuple[tuple[str, str], ...]


def first_of(pairs: Pairs) -> str:
    """The first pairs as a sentence ends, '…' where there are more: nights in a row stay short."""
    told = ", ".join(f"{name} {words}" for name, words in pairs[:SHOWN])
    return f"{told} …" if len(pairs) > SHOWN else f"{told or 'nothing set down'}."


@dataclass(frozen=True)
class SettingsNoted(Kind):
    """(control, words) pairs such as ('treble', "2 o'clock"), for a show (code) or for none.

    `like`: the entry it was copied from, when it was.
    """

    kind: ClassVar[str] = "settings_noted"
    bystanders: ClassVar[frozenset[str]] = frozenset({"show"})
    settings: Pairs
    show: str = ""
    like: int | None = None

    def names(self) -> dict[str, str]:
        """The show it was for."""
        return {"show": self.show} if self.show else {}

    @property
    def pairs(self) -> Pairs:
        """What the sheet says."""
        return self.settings

    def sentence(self) -> str:
        """For which show, like which entry, and the first controls."""
        show = f" for {self.show}" if self.show else ""
        like = f", like entry {self.like}" if self.like is not None else ""
        return f"Settings{show}{like}: {first_of(self.settings)}"

"""`set_up`: how a piece was adjusted, as measured: relief, action, gauges, pads, bellows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind
from collection.core.events.settings_noted import Pairs, first_of


@dataclass(frozen=True)
class SetUp(Kind):
    """(what, words) pairs such as ('relief', '0.20 mm'), for a show (code) or for none.

    `like`: the entry it was copied from, when it was.
    """

    kind: ClassVar[str] = "set_up"
    bystanders: ClassVar[frozenset[str]] = frozenset({"show"})
    measures: Pairs
    show: str = ""
    like: int | None = None

    def names(self) -> dict[str, str]:
        """The show it was for."""
        return {"show": self.show} if self.show else {}

    @property
    def pairs(self) -> Pairs:
        """What the sheet says."""
        return self.measures

    def sentence(self) -> str:
        """For which show, like which entry, and the first measures."""
        show = f" for {self.show}" if self.show else ""
        like = f", like entry {self.like}" if self.like is not None else ""
        return f"Set up{show}{like}: {first_of(self.measures)}"

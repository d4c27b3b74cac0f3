"""`stocktaken`: everything at a place was counted and compared with the book."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class Stocktaken(Kind):
    """Subject: the stocktake. How many were as the book said and how many not; what was written
    of each stands in `sighted` and `not_found` entries of the same act.

    `list_hash`: SHA-256 of list and count (`core.stocktake`). `counted_by`: member codes. `alone`:
    counted and closed by one person. `late`: things added after the list had been seen.
    """

    kind: ClassVar[str] = "stocktaken"
    bystanders: ClassVar[frozenset[str]] = frozenset({"place"})
    place: str
    list_hash: str
    expected: int = 0
    as_expected: int = 0
    other_place: int = 0
    not_seen: int = 0
    too_many: int = 0
    unlabelled: int = 0
    meanwhile: int = 0
    late: int = 0
    counted_by: tuple[str, ...] = ()
    alone: bool = False

    def names(self) -> dict[str, str]:
        """The place that was counted."""
        return {"place": self.place}

    def problems(self, states: States) -> tuple[str, ...]:
        """A stocktake is closed once."""
        if states["subject"].condition:
            return ("The book says that this stocktake was closed before.",)
        return ()

    def after(self, role: str, state: State, moment: Moment) -> State:
        """Closed, and waiting for a second signature."""
        if role != "subject" or state.condition == "signed":
            return state
        return state.now(condition="closed")

    def sentence(self) -> str:
        """What was found, and by how many people."""
        counts = (
            (self.as_expected, "as expected"),
            (self.other_place, "at another place inside"),
            (self.not_seen, "not found"),
            (self.too_many, "too many"),
            (self.unlabelled, "without a label"),
            (self.meanwhile, "moved meanwhile"),
        )
        found = ", ".join(f"{count} {words}" for count, words in counts if count)
        late = f"; {self.late} added after the list was seen" if self.late else ""
        alone = "; counted and closed by one person" if self.alone else ""
        return f"Stocktake of {self.place}: {found or 'nothing there'}{late}{alone}."

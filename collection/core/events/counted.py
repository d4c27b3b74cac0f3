"""`counted`: somebody counted a lot; the shelf is right and the book follows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.bucket import UNEXPLAINED, in_words
from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class Counted(Kind):
    """Subject: the lot. `seen`: (bucket, units) pairs as counted; other buckets were not."""

    kind: ClassVar[str] = "counted"
    seen: tuple[tuple[str, int], ...] = ()

    def _differences(self, state: State) -> dict[str, int]:
        counted = {bucket: units for bucket, units in self.seen if bucket != UNEXPLAINED}
        return {bucket: units - state.count(bucket) for bucket, units in counted.items()}

    def problems(self, states: States) -> tuple[str, ...]:
        """Where the count and the book differ, bucket by bucket."""
        subject = states["subject"]
        return tuple(
            f"The book has {subject.count(bucket)} in {in_words(bucket)}, "
            f"the count found {subject.count(bucket) + difference}."
            for bucket, difference in self._differences(subject).items()
            if difference
        )

    def after(self, role: str, state: State, moment: Moment) -> State:
        """As counted; the difference is unexplained."""
        if role != "subject":
            return state
        differences = self._differences(state)
        return state.shifted(differences).shifted({UNEXPLAINED: -sum(differences.values())})

    def sentence(self) -> str:
        """What was counted."""
        told = ", ".join(f"{units} {in_words(bucket)}" for bucket, units in self.seen)
        return f"Counted: {told}." if told else "Counted: nothing."

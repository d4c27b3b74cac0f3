"""`recovered`: it turned up again and waits in quarantine for its gates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import Seen, State


@dataclass(frozen=True)
class Recovered(Kind):
    """Where it is now, who found it (party code) and by what it was known again.

    `incident` may be '' for something mislaid. `identity`: kinds of evidence, in words.
    `mislaid` spares it the gates of a theft, unless the book says it was stolen.
    """

    kind: ClassVar[str] = "recovered"
    incident: str
    at: str
    found_by: str = ""
    identity: tuple[str, ...] = ()
    mislaid: bool = False

    def names(self) -> dict[str, str]:
        """The incident, the place and the finder, when given."""
        named = {"incident": self.incident, "at": self.at, "found_by": self.found_by}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """What was never lost cannot be recovered; a theft is not mislaying."""
        subject = states["subject"]
        if subject.standing not in {"stolen", "not_found"}:
            standing = subject.standing.replace("_", " ")
            return (f"The book says it is {standing}, neither stolen nor not found.",)
        if self.mislaid and subject.standing == "stolen":
            return ("The book says it is stolen, not mislaid; all gates of a theft apply.",)
        return ()

    def after(self, role: str, state: State, moment: Moment) -> State:
        """In quarantine with every gate open; nothing is known of its working."""
        if role != "subject":
            return state
        entry = moment.placed.entry
        seen = Seen(moment.placed.placed_us, moment.by, self.at, entry.source, entry.number)
        state = state.now(
            incident=self._incident(state),
            standing="quarantined",
            place=self.at,
            seen=seen,
            gates=(),
        )
        return state.unproved(moment.day, "recovered", entry.number)

    def _incident(self, state: State) -> str | None:
        if self.mislaid and state.standing != "stolen":
            return None  # core.recovery reads 'mislaid' from the missing incident
        return self.incident or state.incident

    def sentence(self) -> str:
        """Where, by whom, by what evidence."""
        who = f" by {self.found_by}" if self.found_by else ""
        known = f", known by {', '.join(self.identity)}" if self.identity else ""
        verb = "Mislaid and found" if self.mislaid else "Recovered"
        return f"{verb}{who} at {self.at}{known}; in quarantine."

"""`played`: a show or session was played, and what with."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import ClassVar

from collection.core.events.inspected import HOT_AFTER_MINUTES
from collection.core.events.kind import Kind, Moment, States, gone, powered_under_tag
from collection.core.state import Level, Proof, State

LEFT_ON = "left-on"
SESSIONS = {  # what a session is called, and how its sentence begins
    "rehearsal": ("rehearsal", "Rehearsed"),
    "bench": ("bench session", "Bench session"),
    LEFT_ON: ("left on", "Left on"),
}


@dataclass(frozen=True)
class Played(Kind):
    """Subject: the show. `pieces` sounded without fault, `troubled` did not (codes).

    `faults`: codes of settled faults that stayed away. Hours are decimals of this show, on the
    heaters and with high tension on. `session`: '' for a show, else 'rehearsal', 'bench' or
    'left-on', which only burns heater hours and proves nothing.
    """

    kind: ClassVar[str] = "played"
    pieces: tuple[str, ...] = ()
    troubled: tuple[str, ...] = ()
    heater_hours: str = ""
    ht_hours: str = ""
    faults: tuple[str, ...] = ()
    session: str = ""

    def names(self) -> dict[str, str]:
        """Pieces as piece-1, piece-2, …, the troubled ones last; faults as fault-1, …"""
        pieces = enumerate((*self.pieces, *self.troubled), start=1)
        faults = enumerate(self.faults, start=1)
        return {f"piece-{n}": code for n, code in pieces} | {
            f"fault-{n}": code for n, code in faults
        }

    def problems(self, states: States) -> tuple[str, ...]:
        """Pieces that are gone or tagged cannot have been on stage."""
        found: list[str] = []
        for role, code in self.names().items():
            if role.startswith("piece-") and role in states:
                found += gone(states[role], f"was played ({code})")
                found += powered_under_tag(states[role], f"was played ({code})")
        return tuple(found)

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The show is played; clean pieces are proved; settled faults count a clean show."""
        if role == "subject":
            return state.now(condition="played")
        if role.startswith("fault-"):
            return self._stayed_away(state)
        code = self.names().get(role, "")
        if not moment.day or not code or code in self.troubled or self.session == LEFT_ON:
            return state
        return state.proved(Proof(self._level(), moment.day, moment.number, self._what()))

    def _stayed_away(self, state: State) -> State:
        if not self.session and state.condition in {"fixed", "not-reproduced", "proven"}:
            return state.now(clean_shows=state.clean_shows + 1)
        return state

    def _level(self) -> Level:
        """Played hot, unless high tension was on for less than 20 minutes."""
        hours = _decimal(self.ht_hours)
        short = hours is not None and hours * 60 < HOT_AFTER_MINUTES
        return "powered" if short else "played-hot"

    def _what(self) -> str:
        what = SESSIONS.get(self.session, ("show", ""))[0]
        return f"{what}, {self.ht_hours} h HT" if self.ht_hours else what

    def sentence(self) -> str:
        """What sounded, what did not, and for how long."""
        clean = f" with {', '.join(self.pieces)}" if self.pieces else ""
        trouble = f"; trouble with {', '.join(self.troubled)}" if self.troubled else ""
        hours = f"; {self.ht_hours} h HT" if self.ht_hours else ""
        heaters = f", {self.heater_hours} h heaters" if self.heater_hours else ""
        done = SESSIONS.get(self.session, ("", "Played"))[1]
        return f"{done}{clean}{trouble}{hours}{heaters}."

    def for_one(self, code: str, show: str) -> str:
        """The sentence for one of the pieces that played; `show` says which show it was."""
        how = "with trouble" if code in self.troubled else "without fault"
        hours = f", {self.ht_hours} h HT" if self.ht_hours else ""
        heaters = f", {self.heater_hours} h heaters" if self.heater_hours else ""
        return f"Played {how}, {show}{hours}{heaters}."


def _decimal(text: str) -> Decimal | None:
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    return number if number.is_finite() else None

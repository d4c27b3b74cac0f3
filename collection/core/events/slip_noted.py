"""`slip_noted`: what a tester said of one loose tube, section by section."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States
from collection.core.state import State


@dataclass(frozen=True)
class SlipNoted(Kind):
    """Subject: the tube. `sections`: (name, mA, gm in µmho, words) rows, '' where nobody read it.

    Volts are decimals as text, grid volts without their minus. `settings`: switches and scales of
    the tester, in words. `grade`: what it was tested good for; the lot's count knows it already.
    """

    kind: ClassVar[str] = "slip_noted"
    bystanders: ClassVar[frozenset[str]] = frozenset({"lot"})
    lot: str
    tester: str
    sections: tuple[tuple[str, str, str, str], ...]
    plate_volts: str = ""
    screen_volts: str = ""
    grid_volts: str = ""
    settings: str = ""
    grade: str = "show"

    def names(self) -> dict[str, str]:
        """The lot that it comes from."""
        return {"lot": self.lot} if self.lot else {}

    def problems(self, states: States) -> tuple[str, ...]:
        """A tube that the book has in a piece, or dead."""
        state = states["subject"]
        if state.fitted_in:
            return (f"The book has it in {state.fitted_in}, yet it was on the tester.",)
        if state.grade == "dead":
            return ("The book says it is dead, yet it was tested good.",)
        return ()

    def after(self, role: str, state: State, moment: Moment) -> State:
        """A tube new to the book is tested with its grade; one that is known keeps its bucket."""
        if role != "subject" or state.grade:
            return state
        return state.now(grade=f"tested:{self.grade}")

    @property
    def conditions(self) -> str:
        """Tester and volts, in words."""
        volts = {"plate": self.plate_volts, "screen": self.screen_volts, "grid −": self.grid_volts}
        said = [f"{name} {value} V".replace("− ", "−") for name, value in volts.items() if value]
        return ", ".join([self.tester, *said])

    def sentence(self) -> str:
        """Readings of each section, tester and volts."""
        return f"Slip: {'; '.join(map(_section, self.sections))}; {self.conditions}."


def _section(row: tuple[str, str, str, str]) -> str:
    name, current, gm, words = row
    said = [f"{current} mA" if current else "", f"{gm} µmho" if gm else "", words]
    read = ", ".join(one for one in said if one) or "nothing read"
    return f"{name} {read}" if name else read

"""One line of an answer: an option or what is ruled out, with what a page says of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from collection.catalogue.models import Piece
from collection.core import drawing
from collection.core.backup import Option, RuledOut
from collection.core.moment import utc
from collection.core.transit import Leg
from collection.core.transit_rules import Rules
from collection.core.wording import day as worded
from collection.core.wording import duration
from collection.road.candidates import Known, last_good_day
from collection.road.models import OutsideCandidate
from collection.road.rig import STANDS, STEPS

CLOSENESS = {
    1: "its twin, set up alike",
    2: "same design and circuit",
    3: "same design, another circuit",
    4: "circuit declared close",
    5: "another design, on the artist’s list",
    6: "anything of the kind, not the same",
}
LISTED = {0: "accepted by the artist", 1: "for an emergency", 2: ""}
DRAWN = {
    "pack": "carry", "road": "road", "hand-in": "wait", "flight": "air", "hand-out": "wait",
    "sea": "sea", "border": "border", "warm-up": "warm", "check": "warm",
}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """One option with what a page says of it."""

    option: Option
    known: Known
    rules: Rules
    strip_end: datetime

    @property
    def code(self) -> str:
        return self.option.code

    @property
    def own(self) -> Piece | None:
        """The piece, None for what somebody outside holds."""
        return self.known.row if isinstance(self.known.row, Piece) else None

    @property
    def outside(self) -> OutsideCandidate | None:
        """What somebody outside holds, None for an own piece."""
        return None if self.own else self.known.row

    @property
    def name(self) -> str:
        return name_of(self.known)

    @property
    def stands(self) -> str:
        return STANDS[self.option.stands]

    @property
    def step(self) -> int:
        """The box of five in which it stands once it has come: side of stage at the latest."""
        return min(STEPS[self.option.stands], STEPS["side"])

    @property
    def closeness(self) -> str:
        return CLOSENESS[self.option.closeness]

    @property
    def listed(self) -> str:
        return LISTED[self.option.listed]

    @property
    def estimate(self) -> bool:
        """Whether its way rests on a length nobody has confirmed."""
        return self.option.basis == "estimate"

    @property
    def late_by(self) -> timedelta | None:
        """How late it is, None in time."""
        return None if self.option.in_time else -self.option.margin

    @property
    def spare(self) -> str:
        """The time to spare, or how late it is, in words."""
        seconds = abs(self.option.margin.total_seconds())
        return f"{duration(seconds)} {'to spare' if self.option.in_time else 'late'}"

    @property
    def call_alone(self) -> bool:
        """Whether only a confirmation by telephone speaks for it."""
        return self.option.days_fresh is None

    @property
    def another_day(self) -> bool:
        """Whether it sounds on another day than it has to be ready."""
        zone = self.option.sounds_at.tzinfo
        return (
            self.option.sounds_at.date()
            != self.option.question.need.ready_by.astimezone(zone).date()
        )

    @property
    def evidence(self) -> str:
        """What shows that it works."""
        good = [e for e in self.option.candidate.evidence if not e.voided_by]
        if not good:
            return "nothing on record, only the call"
        best = max(good, key=lambda e: e.on)
        said = f"{best.level.replace('-', ' ')} {worded(best.on, today=None)}"
        until = last_good_day(self.option.candidate, self.rules)
        return f"{said}, aged out on {worded(until, today=None)}" if self.option.stale else said

    @property
    def legs(self) -> tuple[Leg, ...]:
        return self.option.legs

    @property
    def strip(self) -> list[drawing.Leg]:
        """The legs as they are drawn, with the waits between them."""
        return strip_of(self.legs, start=self.option.question.need.now)

    @property
    def phone(self) -> str:
        return self.outside.phone if self.outside else ""

    @property
    def told_by(self) -> str:
        """Who confirmed or quoted the way last, for the page."""
        return next((q.told_by for q in self.known.quotes if q.told_by), "")


@dataclass(frozen=True)
class Shut:
    """A candidate that may not stand in, with all reasons."""

    out: RuledOut
    known: Known

    @property
    def code(self) -> str:
        return self.out.code

    @property
    def name(self) -> str:
        return name_of(self.known)

    @property
    def reasons(self) -> tuple[str, ...]:
        return self.out.reasons

    @property
    def at_border(self) -> bool:
        """Whether an own piece is held back by the carnet rule, alone or among others."""
        gates = self.out.question.gates
        return self.outside is None and any(
            gate.name == "border" and gate.shut(self.out.candidate) for gate in gates
        )

    @property
    def more(self) -> int:
        """How many reasons there are beyond the first."""
        return len(self.reasons) - 1

    @property
    def outside(self) -> OutsideCandidate | None:
        return None if isinstance(self.known.row, Piece) else self.known.row


def name_of(found: Known) -> str:
    """What a candidate is called, with its circuit where it has one."""
    row = found.row
    if isinstance(row, OutsideCandidate):
        return row.name
    return f"{row.called}, {row.circuit}" if row.circuit else row.called


def strip_of(legs: Sequence[Leg], *, start: datetime) -> list[drawing.Leg]:
    """Core legs as the strip draws them; a gap between two is a wait."""
    drawn: list[drawing.Leg] = []
    clock = utc(start)
    for leg in legs:
        if (gap := (utc(leg.starts_at) - clock).total_seconds() / 60) > 0:
            drawn.append(drawing.Leg("wait", gap, False))
        minutes = leg.length.total_seconds() / 60
        drawn.append(drawing.Leg(DRAWN[leg.what], minutes, leg.basis == "estimate"))
        clock = utc(leg.ends_at)
    return drawn

"""What hours are reckoned from: fittings, sessions, meters, and what comes out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal, NamedTuple

Clock = Literal["heater", "ht"]
CLOCKS: tuple[Clock, ...] = ("heater", "ht")


class At(NamedTuple):
    """A place in the book's order: microseconds since 0001-01-01 UTC, then the entry's number."""

    placed_us: int
    number: int


@dataclass(frozen=True)
class Fitting:
    """A part in a position of a piece, from being put in until taken out (None: not told)."""

    part: str
    piece: str
    position: str
    put_in: At
    taken_out: At | None = None

    @property
    def where(self) -> str:
        """'A-012 V3'."""
        return f"{self.piece} {self.position}".strip()


@dataclass(frozen=True)
class Session:
    """A piece ran: hours on each clock, None where not told."""

    piece: str
    at: At
    heater_hours: Decimal | None = None
    ht_hours: Decimal | None = None

    def told(self, clock: Clock) -> Decimal | None:
        """Hours on one clock."""
        return self.heater_hours if clock == "heater" else self.ht_hours


@dataclass(frozen=True)
class MeterReading:
    """What an hour meter on a piece showed, in hours since it was new or reset."""

    piece: str
    at: At
    clock: Clock
    hours: Decimal


@dataclass(frozen=True)
class Clocks:
    """Hours on both clocks."""

    heater: Decimal = Decimal(0)
    ht: Decimal = Decimal(0)


@dataclass(frozen=True)
class Finding:
    """Something in the book that cannot all be true, or is not told; `about` is a code."""

    about: str
    sentence: str
    entries: tuple[int, ...]


@dataclass(frozen=True)
class HoursFound:
    """Hours of every part, what each brought along in them, and all findings in order."""

    parts: Mapping[str, Clocks] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()

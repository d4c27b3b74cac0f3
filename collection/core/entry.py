"""One entry of the book as the core sees it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Any

EPOCH = datetime(1, 1, 1, tzinfo=UTC)
UNKNOWN_US = -1


def to_us(moment: datetime) -> int:
    """Microseconds since 0001-01-01T00:00Z of an aware instant."""
    return (moment - EPOCH) // timedelta(microseconds=1)


def from_us(placed_us: int) -> datetime:
    """The UTC instant again; `placed_us` must not be UNKNOWN_US."""
    return EPOCH + timedelta(microseconds=placed_us)


@dataclass(frozen=True)
class Entry:
    """An entry: its number, kind, subject, the codes it names by role, facts and date.

    `happened` is EDTF text ('' for unknown). `recorded_at` is an aware UTC instant.
    """

    number: int
    kind: str
    subject: str
    facts: Mapping[str, Any]
    happened: str
    recorded_at: datetime
    recorded_by: str
    source: str = "seen"
    certainty: str = "certain"
    names: Mapping[str, str] = field(default_factory=dict)
    corrects: int | None = None
    answers: int | None = None
    words: str = ""
    facts_version: int = 1


@dataclass(frozen=True)
class Placed:
    """The effective entry of a correction line with its place in the order of happening."""

    entry: Entry
    first_number: int
    placed_us: int

    def day(self, zone: tzinfo) -> str:
        """The local ISO day it is placed on; '' when its date is unknown."""
        if self.placed_us == UNKNOWN_US:
            return ""
        try:
            return from_us(self.placed_us).astimezone(zone).date().isoformat()
        except OverflowError:
            return from_us(self.placed_us).date().isoformat()

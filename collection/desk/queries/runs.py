"""Shows in a piece's life: one reads from the piece's side, several in a row become one line."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from typing import Any

from collection.catalogue.told import Told
from collection.core.events.played import Played
from collection.ledger.lines import in_short

FEW = 3  # up to here each show keeps its own line


@dataclass(frozen=True)
class Run:
    """Shows that a piece played one after the other without fault, newest first."""

    lines: tuple[Told, ...]

    @property
    def sentence(self) -> str:
        """How many, and how long high tension was on."""
        hours = sum((_hours(line.facts) for line in self.lines), Decimal())
        long = f", {hours.normalize():f} h HT in all" if hours else ""
        return f"Played {len(self.lines)} shows without fault{long}."

    @property
    def first(self) -> str:
        """The day of the oldest show, in few words."""
        return in_short(self.lines[-1].event.happened[:10])

    @property
    def last(self) -> str:
        """The day of the newest show, in few words."""
        return in_short(self.lines[0].event.happened[:10])


def in_runs(lines: Iterable[Told], code: str) -> list[Told | Run]:
    """Lines of the life of `code` with longer runs of faultless shows taken together."""
    found: list[Told | Run] = []
    for faultless, group in groupby(lines, key=lambda line: _faultless(line, code)):
        part = tuple(group)
        found += [Run(part)] if faultless and len(part) > FEW else part
    return found


def _faultless(line: Told, code: str) -> bool:
    plain = not line.struck and not line.order_unclear and not line.words and line.event.happened
    return bool(plain) and isinstance(line.facts, Played) and code in line.facts.pieces


def _hours(facts: Any) -> Decimal:
    return Decimal(facts.ht_hours or 0)

"""What people said of the parts of a piece, side by side, the best supported first.

A house rule ranks them: certain before likely before doubtful; seen or on paper before told before
inferred; with a photo before without; the later one first. One witness who looks again replaces
what they said of that part before; two witnesses never replace each other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import cast

from collection.core.build_window import Judgement, PartDate, build_window
from collection.core.datecode import Reading, readings
from collection.core.partial_date import PartialDate, PartialDateError
from collection.core.survey_parts import kind_of_part

Span = tuple[int, int] | None
_CERTAINTY = ("certain", "likely", "doubtful")
_SOURCE = {"seen": 0, "document": 0, "told": 1, "inferred": 2}
STORED_YEARS = 5  # house rule: how long before its span a part of a design may have been made


@dataclass(frozen=True)
class Statement:
    """One judgement of one part, as somebody made it.

    `reading`: the split of `mark` that was taken, '' for all. `made`: EDTF, where something else
    dates the part. `who`: the witness. `order`: later ones are larger.
    """

    position: str
    judgement: str
    mark: str = ""
    reading: str = ""
    made: str = ""
    evidence: str = ""
    source: str = "seen"
    certainty: str = "certain"
    who: str = ""
    has_photo: bool = False
    order: int = 0

    @property
    def support(self) -> tuple[int, int, bool, int]:
        """Sorts the best supported first."""
        sure = _CERTAINTY.index(self.certainty) if self.certainty in _CERTAINTY else 3
        return sure, _SOURCE.get(self.source, 3), not self.has_photo, -self.order

    def part(self, span: Span) -> PartDate:
        """The statement as the build window reads it; `span`: the design's years."""
        return PartDate(
            position=self.position,
            kind=kind_of_part(self.position),
            judgement=cast(Judgement, self.judgement),
            mark=self.mark,
            readings=self.readings(span),
            dated=dated(self.made),
            seen_by=self.who,
        )

    def readings(self, span: Span) -> tuple[Reading, ...]:
        """The reading that was taken, or every one that fits; () where a date is given instead."""
        if self.made:
            return ()
        found = open_readings(self.mark, span)
        taken = [one for one in _readings(self.mark, None) if one.split == self.reading]
        narrowed = [one for one in found if one.split == self.reading]
        return tuple(narrowed or taken) or found


@dataclass(frozen=True)
class Position:
    """A part with everything that is said of it, the best supported first."""

    name: str
    said: tuple[Statement, ...] = ()

    @property
    def best(self) -> Statement | None:
        """The best supported statement."""
        return self.said[0] if self.said else None

    @property
    def others(self) -> tuple[Statement, ...]:
        """The rest."""
        return self.said[1:]

    def disputed(self, span: Span) -> bool:
        """Whether statements differ in judgement or in dates that cannot both be."""
        both = build_window([one.part(span) for one in self.said], (), trust={"original"})
        return bool(both.conflicts)


def open_readings(mark: str, span: Span) -> tuple[Reading, ...]:
    """Readings of a mark within the span of a design; where none fits, all of them; else ().

    A part may be older than the design by the years it lay in store. Where a known maker's number
    reads, splits that give an unknown one do not count: a four-digit number nobody has can make
    any late code look early. A mark that fits no year of the span is not made to fit: it may be a
    later part, and the contradiction must show.
    """
    found = _readings(mark, None)
    if span is not None:
        within = _readings(mark, (span[0] - STORED_YEARS, span[1] + 1))
        return _likely_makers(within, found) or _likely_makers(found, found)
    return _likely_makers(found, found)


def _likely_makers(some: Sequence[Reading], found: Sequence[Reading]) -> tuple[Reading, ...]:
    """Those of known makers where any reading has one."""
    known = any(one.maker for one in found)
    return tuple(one for one in some if one.maker or not known)


def _readings(mark: str, span: Span) -> tuple[Reading, ...]:
    try:
        return readings(mark, span=span)
    except ValueError:
        return ()


def dated(edtf: str) -> PartialDate | None:
    """A date as kept; None where there is none that can be read."""
    try:
        return PartialDate.parse(edtf) if edtf else None
    except PartialDateError:
        return None


def by_position(statements: Iterable[Statement], order: Sequence[str]) -> tuple[Position, ...]:
    """Positions in the order given, then those only statements name, with what counts of each."""
    said: dict[str, dict[tuple[str, str], Statement]] = {}
    for one in sorted(statements, key=lambda one: one.order):
        said.setdefault(one.position, {})[one.who, one.source] = one
    names = dict.fromkeys((*order, *said))
    return tuple(
        Position(name, tuple(sorted(said.get(name, {}).values(), key=lambda one: one.support)))
        for name in names
    )

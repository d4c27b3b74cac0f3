"""When was a piece built: not before its newest original part, not after its first document.

A window, never one year. A part says when the part was made, and the piece is newer. A part judged
original bounds it: once with parts judged 'original' only, once with 'likely' ones too. Tubes,
strings, lamps and fuses never count, nor does what was replaced or never judged. A part that can be
read in several ways bounds by the earliest of them, which is weak but never wrong.

The allowances: a coded week may lie seven days off (`datecode`), and parts were at times stamped
ahead, so a mark up to 60 days later than the first document is no contradiction; such a part bounds
by its mark less 60 days. An old part used late makes the bound early, which is harmless; a later
part taken for original makes it late, which is wrong and shows only if a document is older.

Source: common practice of dating by parts, as on guitarhq.com; stamping ahead 'a month or two'
after gregsguitars.net. The 60 days are a house rule.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal

from collection.core.datecode import Reading
from collection.core.partial_date import PartialDate

Judgement = Literal["original", "likely", "unknown", "replaced"]

NEVER_COUNTS: Final = frozenset({"tube", "string", "lamp", "fuse"})
STAMPED_AHEAD: Final = timedelta(days=60)
CONFIRMED: Final = frozenset({"original"})
WITH_LIKELY: Final = frozenset({"original", "likely"})


@dataclass(frozen=True)
class PartDate:
    """What one part in one position says of its own date, as one person saw it.

    `readings` holds the reading chosen, or all that stay open; `dated` is a date that is written
    out (pencil in a neck pocket, a label) and is used where there are none. `kind` is the kind of
    part in the singular: 'pot', 'speaker', 'tube'.
    """

    position: str
    kind: str
    judgement: Judgement
    mark: str = ""
    readings: tuple[Reading, ...] = ()
    dated: PartialDate | None = None
    seen_by: str = ""

    @property
    def earliest(self) -> date | None:
        """The first day on which it can have been made; None where nothing says so."""
        if self.readings:
            return min(reading.earliest for reading in self.readings)
        return self.dated.earliest if self.dated else None

    @property
    def latest(self) -> date | None:
        """The last day on which it can have been made; None where nothing says so."""
        if self.readings:
            return max(reading.latest for reading in self.readings)
        return self.dated.latest if self.dated else None

    def sentence(self) -> str:
        """'volume pot 304728 (Stackpole, week 28 of 1957 or 1967), original after Ines Holt'."""
        says = " / ".join(reading.sentence() for reading in self.readings)
        says = says or (self.dated.sentence() if self.dated else "no date")
        by = f" after {self.seen_by}" if self.seen_by else ""
        name = f"{self.position} {self.mark}".strip()
        return f"{name} ({says}), {self.judgement}{by}"


@dataclass(frozen=True)
class DocumentDate:
    """A photo, receipt, ticket or stage appearance in which the piece already exists."""

    what: str
    dated: PartialDate
    seen_by: str = ""

    def sentence(self) -> str:
        """'invoice, 3 March 1966'."""
        return f"{self.what}, {self.dated.sentence()}"


@dataclass(frozen=True)
class BuildWindow:
    """Bounds in days, either None where nothing bounds; why; and what contradicts what.

    `set_by` is the part that set `not_before`, `shown_by` the document that set `not_after`,
    `counted` all parts that could have set it.
    """

    not_before: date | None
    not_after: date | None
    because: str
    conflicts: tuple[str, ...]
    set_by: PartDate | None = None
    shown_by: DocumentDate | None = None
    counted: tuple[PartDate, ...] = ()


def build_window(
    parts: Iterable[PartDate], documents: Iterable[DocumentDate], *, trust: AbstractSet[str]
) -> BuildWindow:
    """The window in which a piece was built.

    Args:
        parts: as found, whatever their judgement; two statements on one position may differ.
        documents: in which the piece already exists.
        trust: {'original'} or {'original', 'likely'}: the judgements that count.

    Raises:
        ValueError: another trust.
    """
    if frozenset(trust) not in (CONFIRMED, WITH_LIKELY):
        raise ValueError("Trust is {'original'} or {'original', 'likely'}, nothing else.")
    stated, shown = tuple(parts), tuple(documents)
    counted = tuple(part for part in stated if counts(part, trust))
    first = min((d for d in shown if d.dated.latest), key=_existed, default=None)
    not_after = _existed(first) if first else None
    bounds = [(_bound(part, not_after), -place) for place, part in enumerate(counted)]
    not_before, place = max(bounds, default=(None, 0))
    newest = counted[-place] if bounds else None
    return BuildWindow(
        not_before=not_before,
        not_after=not_after,
        because=_because(newest, first, not_before),
        conflicts=(*_too_late(counted, shown), *_differing(stated)),
        set_by=newest,
        shown_by=first,
        counted=counted,
    )


def both_windows(
    parts: Sequence[PartDate], documents: Sequence[DocumentDate]
) -> tuple[BuildWindow, BuildWindow]:
    """The window by confirmed parts alone, and the one with likely parts too."""
    confirmed = build_window(parts, documents, trust=CONFIRMED)
    return confirmed, build_window(parts, documents, trust=WITH_LIKELY)


def counts(part: PartDate, trust: AbstractSet[str]) -> bool:
    """A dated part, trusted as original, of a kind that is not replaced all the time."""
    return part.kind not in NEVER_COUNTS and part.judgement in trust and part.earliest is not None


def _made(part: PartDate) -> date:
    return part.earliest or date.min


def _bound(part: PartDate, not_after: date | None) -> date:
    """When it was made; less what it may have been stamped ahead if it is later than a document."""
    made = _made(part)
    return made - STAMPED_AHEAD if not_after and made > not_after else made


def _existed(document: DocumentDate) -> date:
    return document.dated.latest or date.max


def _because(part: PartDate | None, document: DocumentDate | None, bound: date | None) -> str:
    before = "No dated part counts."
    if part and bound:
        ahead = " less 60 days, since it may have been stamped ahead" if bound < _made(part) else ""
        before = f"Not before {_day(bound)}: {part.sentence()}{ahead}."
    after = "No dated document."
    if document:
        after = f"Not after {_day(_existed(document))}: {document.sentence()}."
    return f"{before} {after}"


def _too_late(parts: Iterable[PartDate], documents: Sequence[DocumentDate]) -> list[str]:
    """Parts later than a document in which the piece already exists, beyond stamping ahead."""
    return [
        f"{part.sentence()} is {(_made(part) - _existed(document)).days} days later than "
        f"{document.sentence()}: one date is wrong, or the part is not original."
        for part in parts
        for document in documents
        if _made(part) - STAMPED_AHEAD > _existed(document)
    ]


def _differing(parts: Sequence[PartDate]) -> list[str]:
    """Positions of which two statements differ in judgement, or in dates that cannot both be."""
    at: dict[str, list[PartDate]] = {}
    for part in parts:
        at.setdefault(part.position, []).append(part)
    return [
        f"Statements differ on the {position}: {'; '.join(part.sentence() for part in said)}."
        for position, said in at.items()
        if len({part.judgement for part in said}) > 1 or _apart(said)
    ]


def _apart(said: Sequence[PartDate]) -> bool:
    """No day on which all of them can have been made."""
    begins = max(part.earliest or date.min for part in said)
    return begins > min(part.latest or date.max for part in said)


def _day(day: date) -> str:
    return f"{day.day} {day:%B} {day.year}"

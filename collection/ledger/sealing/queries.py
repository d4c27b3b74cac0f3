"""Seals of a book, and whether the book is still what a seal says."""

from dataclasses import dataclass
from datetime import datetime

from collection.core.seal import Seal
from collection.ledger.leaf import utc_text
from collection.ledger.lines import when_of
from collection.ledger.models import Event
from registry.access.models import Collection


@dataclass(frozen=True)
class Kept:
    """A seal that was written into the book, as its newest entry says it."""

    event: Event
    first: Event
    seal: Seal

    @property
    def code(self) -> str:
        """The seal's own code."""
        return self.event.subject.code

    @property
    def sealed_at(self) -> datetime:
        """When it was written first."""
        return self.first.recorded_at

    @property
    def day(self) -> str:
        """The day it was made as the book has it: '1 Nov 2026'."""
        return when_of(self.first)

    @property
    def last_number(self) -> int:
        """The number of the last entry it covers."""
        return self.seal.size - 1

    @property
    def held_by(self) -> tuple[str, ...]:
        """Codes of who has a copy."""
        return tuple(self.event.facts.get("held_by", ()))

    @property
    def went_to(self) -> str:
        """Who else has a copy, in words."""
        return str(self.event.facts.get("went_to", ""))


def seals(collection: Collection) -> list[Kept]:
    """Every seal that stands, the newest first; 1 query."""
    rows = Event.objects.of(collection).filter(subject__kind="seal")
    lines: dict[int, list[Event]] = {}
    for event in rows.select_related("subject", "collection").order_by("sequence"):
        if event.kind in {"sealed", "withdrawn"}:
            lines.setdefault(event.subject_id, []).append(event)
    found = [_kept(line) for line in lines.values() if line[-1].kind == "sealed"]
    return sorted(found, key=lambda kept: -kept.first.sequence)


def seal_at(collection: Collection, code: str) -> Kept | None:
    """The seal with this code."""
    return next((kept for kept in seals(collection) if kept.code == code), None)


def _kept(line: list[Event]) -> Kept:
    first, last = line[0], line[-1]
    size, root = first.facts["size"], first.facts["root"]
    return Kept(last, first, Seal(size, root, first.collection.book, utc_text(first.recorded_at)))

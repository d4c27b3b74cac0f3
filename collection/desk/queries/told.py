"""Entries of a life line as a page says them: names for codes, photos, what was struck."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo
from collection.core.events import facts_of
from collection.core.partial_date import PartialDate
from collection.ledger.models import Event, Subject
from collection.ledger.queries import PAGE, Line, life_line, sentence_of, when_of
from registry.access.models import Membership

CODE_IN_WORDS = re.compile(r"\b[A-Z][A-Z0-9]{0,7}(?:-[A-Z0-9]{1,16}){1,3}\b")
A_DATE = re.compile(r"\d{4}(-\d{2}){0,2}\Z")


@dataclass(frozen=True)
class Struck:
    """An entry that a later one put right."""

    sentence: str
    when: str


@dataclass(frozen=True)
class Told:
    """One line of the life line; the templates of the kinds read it as `event`."""

    event: Event
    facts: Any
    sentence: str
    by: str
    photos: tuple[Photo, ...]
    struck: tuple[Struck, ...]

    @property
    def words(self) -> str:
        """What was written in somebody's own words."""
        return self.event.words

    @property
    def template(self) -> str:
        """The template of the entry's kind."""
        return f"ledger/events/{self.event.kind}.html"

    @property
    def when(self) -> str:
        """The date as the source says it."""
        return when_of(self.event)

    @property
    def machine_date(self) -> str:
        """The date for `<time>`, '' where HTML has no form for it."""
        if self.event.earliest and self.event.earliest == self.event.latest:
            return self.event.earliest.isoformat()
        return self.event.happened if A_DATE.match(self.event.happened) else ""

    @property
    def source(self) -> str:
        """A bill, a name, or nothing."""
        return self.event.source_note

    @property
    def withdrawn(self) -> bool:
        """Whether it was taken back."""
        return self.event.kind == "withdrawn"


def told_of(
    subject: Subject,
    member: Membership,
    *,
    names: Mapping[str, str],
    naming: Callable[[str], str],
    before: int | None = None,
) -> list[Told]:
    """The newest lines of a thing's history; `naming` says what a code is called."""
    lines = life_line(subject, limit=PAGE, before=before)
    photos = _photos(subject, member, [line.event.sequence for line in lines])
    return [_told(line, names, naming, photos.get(line.event.sequence, ())) for line in lines]


def _photos(
    subject: Subject, member: Membership, numbers: list[int]
) -> dict[int, tuple[Photo, ...]]:
    found = catalogue.photos(subject.collection, member).filter(entry__in=numbers)
    kept: dict[int, tuple[Photo, ...]] = {}
    for photo in found:
        kept[photo.entry] = (*kept.get(photo.entry, ()), photo)
    return kept


def _told(
    line: Line,
    names: Mapping[str, str],
    naming: Callable[[str], str],
    photos: tuple[Photo, ...],
) -> Told:
    event = line.event
    return Told(
        event=event,
        facts=facts_of(event.kind, event.facts, event.facts_version),
        sentence=in_names(line.sentence, naming),
        by=names.get(event.recorded_by, event.recorded_by),
        photos=photos,
        struck=tuple(_struck(old, naming) for old in line.struck if old.kind != "withdrawn"),
    )


def _struck(event: Event, naming: Callable[[str], str]) -> Struck:
    when = PartialDate.parse(event.happened).sentence() if event.happened else ""
    return Struck(in_names(sentence_of(event), naming), when)


def in_names(sentence: str, naming: Callable[[str], str]) -> str:
    """A sentence of the book with names where it has codes of places and people."""
    return CODE_IN_WORDS.sub(lambda found: naming(found[0]), sentence)

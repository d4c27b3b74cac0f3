"""Lines of a piece's life as pages say them: names for codes, and the photos."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo
from collection.core.events import facts_of
from collection.core.events.played import Played
from collection.ledger.lines import Line, sentence_of
from collection.ledger.models import Subject
from collection.ledger.queries import PAGE, life_line
from registry.access.models import Membership

Naming = Callable[[str], str]
CODE_IN_WORDS = re.compile(r"\b[A-Z][A-Z0-9]{0,7}(?:-[A-Z0-9]{1,16}){1,3}\b")


@dataclass(frozen=True, kw_only=True)
class Told(Line):
    """A line with names where the book has codes of places and people, and with its photos."""

    naming: Naming
    photos: tuple[Photo, ...] = ()
    seen_from: str = ""  # code of the piece whose page it is

    @property
    def sentence(self) -> str:
        """What the entry says; a show says what it was for this piece."""
        if isinstance(self.facts, Played) and self.event.subject.code != self.seen_from:
            return self.facts.for_one(self.seen_from, self.naming(self.event.subject.code))
        return in_names(sentence_of(self.event), self.naming)

    @property
    def struck_sentences(self) -> list[str]:
        """What the entries said that it put right, oldest first."""
        said = (sentence_of(event) for event in self.struck)
        return [in_names(sentence, self.naming) for sentence in said]

    @property
    def facts(self) -> Any:
        """The facts as their kind reads them."""
        return facts_of(self.event.kind, self.event.facts, self.event.facts_version)


def told_of(
    subject: Subject,
    member: Membership,
    *,
    naming: Naming,
    before: int | None = None,
    limit: int = PAGE,
) -> list[Told]:
    """The newest lines of a thing's history; `naming` says what a code is called."""
    lines = life_line(subject, limit=limit, before=before)
    photos = _photos(subject, member, [line.event.sequence for line in lines])
    return [
        Told(
            event=line.event,
            struck=line.struck,
            who=line.who,
            order_unclear=line.order_unclear,
            taken_out=line.taken_out,
            naming=naming,
            seen_from=subject.code,
            photos=photos.get(line.event.sequence, ()),
        )
        for line in lines
    ]


def _photos(
    subject: Subject, member: Membership, numbers: list[int]
) -> dict[int, tuple[Photo, ...]]:
    kept: dict[int, tuple[Photo, ...]] = {}
    for photo in catalogue.photos(subject.collection, member).filter(entry__in=numbers):
        kept[photo.entry] = (*kept.get(photo.entry, ()), photo)
    return kept


def in_names(sentence: str, naming: Naming) -> str:
    """A sentence of the book with names where it has codes of places and people."""
    return CODE_IN_WORDS.sub(lambda found: naming(found[0]), sentence)

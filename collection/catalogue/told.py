"""Lines of a piece's life as pages say them: names for codes, and the photos."""

from dataclasses import dataclass
from typing import Any

from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo
from collection.core.events import facts_of
from collection.core.events.played import Played
from collection.ledger.lines import Line, sentence_of
from collection.ledger.models import Subject
from collection.ledger.naming import Naming, in_names
from collection.ledger.queries import PAGE, life_line
from registry.access.models import Membership

__all__ = ["Naming", "Told", "in_names", "told_of"]


@dataclass(frozen=True, kw_only=True)
class Told(Line):
    """A line with names where the book has codes of places and people, and with its photos."""

    photos: tuple[Photo, ...] = ()
    seen_from: str = ""  # code of the piece whose page it is

    @property
    def sentence(self) -> str:
        """What the entry says; a show says what it was for this piece."""
        if isinstance(self.facts, Played) and self.event.subject.code != self.seen_from:
            return self.facts.for_one(self.seen_from, self.naming(self.event.subject.code))
        return in_names(sentence_of(self.event), self.naming)

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

"""What of a history is private, and stays out of a dossier unless somebody ticks it."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from collection.catalogue.models import Piece
from collection.core.notice import NO_NAMES, Secrets, tells_number
from collection.custody.models import Party
from collection.custody.queries import parties
from collection.custody.whereabouts import PRIVATE, Whereabouts
from collection.custody.withheld import private_words
from collection.ledger.models import Event
from registry.access.queries import member_names

PRIVATE_PLACE = PRIVATE
PERSON = "a person or firm"
VALUE = "says what it is worth or costs"
MARK = "tells the hidden mark"
KEPT_BACK = "recorded, kept back"
# The paragraph on provenance rests on these, and shows a party by role: only its code is in them.
TITLES = frozenset({"acquired", "title_changed", "sold"})
AMOUNT = "_minor"


@dataclass(frozen=True)
class Privacy:
    """Everything of a collection that decides what is private, read once."""

    known: Whereabouts
    parties: Mapping[str, Party]
    secrets: Secrets

    def reasons(self, line: tuple[Event, ...]) -> tuple[str, ...]:
        """Why a correction line is private; () where it is not."""
        found = dict.fromkeys(reason for event in line for reason in self._of(event))
        return tuple(found)

    def _of(self, event: Event) -> Iterator[str]:
        told = list(_texts(event.facts))
        codes = {event.subject.code, *event.names.values(), *told}
        if event.kind == "valued" or _has_amount(event.facts):
            yield VALUE
        if any(self._is_private(code) for code in codes):
            yield PRIVATE_PLACE
        if event.kind not in TITLES and any(code in self.parties for code in codes):
            yield PERSON
        yield from {why for text in told if (why := self.leaks(text))}

    def leaks(self, text: str) -> str:
        """Why words may not leave the house as they stand; '' where nothing speaks against it."""
        said = " ".join(text.casefold().split())
        if any(mark in said for mark in self._marks) or tells_number(text, self.secrets.marks):
            return MARK
        if self._places and self._places.search(said):
            return "names a private place"
        names = self._phrases is not None and self._phrases.search(said)
        return "names a person or firm" if names or self._name_words & _capitalised(text) else ""

    def kept(self, text: str) -> str:
        """Free text of a description, or that something is recorded and kept back."""
        return KEPT_BACK if self.leaks(text) else text

    def serial(self, piece: Piece) -> str:
        """The maker's serial; kept back where it is the hidden mark written once more."""
        return KEPT_BACK if self.leaks(piece.serial) == MARK else piece.serial

    @cached_property
    def _marks(self) -> tuple[str, ...]:
        return tuple(" ".join(mark.casefold().split()) for mark in self.secrets.marks)

    @cached_property
    def _places(self) -> re.Pattern[str] | None:
        return _any_of(self.secrets.places)

    @cached_property
    def _phrases(self) -> re.Pattern[str] | None:
        return _any_of(self.secrets.names)

    @cached_property
    def _name_words(self) -> set[str]:
        """Words of names, as they are written: 'bench' is in a firm's name too, 'Rae' is not."""
        said = {word for name in self.secrets.names for word in re.findall(r"[^\W\d_]+", name)}
        return {word.casefold() for word in said if word.istitle() and len(word) > 1} - NO_NAMES

    def _is_private(self, code: str) -> bool:
        place = self.known.by_code.get(code)
        return place is not None and self.known.private(place.pk)

    def called(self, code: str, named: frozenset[str]) -> str:
        """A code in words for outsiders: a party by name only where it was chosen."""
        if party := self.parties.get(code):
            return party.name if code in named else party.outward or "a person not named"
        place = self.known.by_code.get(code)
        if place is None:
            return code
        return PRIVATE_PLACE if self.known.private(place.pk) else place.name


def privacy_of(piece: Piece, known: Whereabouts) -> Privacy:
    """What is private around a piece; 2 queries besides the places."""
    collection = piece.collection
    rows = {party.code: party for party in parties(collection).select_related("subject")}
    people = (*member_names(collection).values(), *(party.name for party in rows.values()))
    private = [p for p in known.rows.values() if known.private(p.pk)]
    hidden = private_words(private, [p for p in known.rows.values() if p not in private])
    marks = (piece.hidden_mark,) if piece.hidden_mark else ()
    return Privacy(known, rows, Secrets(names=people, places=hidden, marks=marks))


def _capitalised(text: str) -> set[str]:
    words = re.findall(r"[^\W\d_]+", text)
    return {word.casefold() for word in words if word[0].isupper()}


def _any_of(phrases: tuple[str, ...]) -> re.Pattern[str] | None:
    wanted = {re.escape(" ".join(phrase.casefold().split())) for phrase in phrases if phrase}
    return re.compile(rf"(?<!\w)(?:{'|'.join(sorted(wanted))})(?!\w)") if wanted else None


def _texts(facts: Any) -> Iterator[str]:
    if isinstance(facts, str):
        yield facts
    elif isinstance(facts, Mapping):
        for value in facts.values():
            yield from _texts(value)
    elif isinstance(facts, list):
        for value in facts:
            yield from _texts(value)


def _has_amount(facts: Any) -> bool:
    if isinstance(facts, Mapping):
        said = any(key.endswith(AMOUNT) and value is not None for key, value in facts.items())
        return said or any(_has_amount(value) for value in facts.values())
    return isinstance(facts, list) and any(_has_amount(value) for value in facts)

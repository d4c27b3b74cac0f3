"""Reading the bench: faults, what to record for, proposed tags."""

import secrets
from dataclasses import dataclass, field
from datetime import date

from django.db.models import Max, QuerySet

from collection.bench.models import Fault
from collection.catalogue import queries as catalogue
from collection.catalogue.models import Piece, PieceKind
from collection.catalogue.told import Told, told_of
from collection.core.fold_text import folded
from collection.core.state import OPEN_CONDITIONS, State, from_json
from collection.custody.models import Party
from collection.custody.whereabouts import whereabouts
from collection.ledger.models import Event, Mention, Subject
from collection.ledger.models import State as StateRow
from registry.access.models import Collection, Membership

FOUND = 24  # pieces a search shows
RECENT = 8


@dataclass(frozen=True)
class Pick:
    """A piece one may record for, with the token of its one-press form."""

    piece: Piece
    strung_on: str
    once: str = field(default_factory=lambda: secrets.token_hex(16))

    @property
    def strung(self) -> date | None:
        """The day the strings went on."""
        return date.fromisoformat(self.strung_on) if self.strung_on else None

    @property
    def has_strings(self) -> bool:
        """Whether 'strings on' makes sense."""
        return self.piece.kind == PieceKind.INSTRUMENT


@dataclass(frozen=True)
class Open:
    """An open fault, with the token of its 'it is back'."""

    fault: Fault
    once: str = field(default_factory=lambda: secrets.token_hex(16))


def pieces(collection: Collection) -> QuerySet[Piece]:
    """Pieces with their states."""
    return catalogue.pieces(collection).select_related("subject__state")


def state_of(piece: Piece) -> State:
    """What the book says of a piece now."""
    row = getattr(piece.subject, "state", None)
    return from_json(row.detail) if row else State()


def faults_of(piece: Piece) -> QuerySet[Fault]:
    """Every fault of a piece with its condition, newest first."""
    return Fault.objects.filter(piece=piece).select_related("subject__state", "piece")


def open_faults_of(piece: Piece) -> QuerySet[Fault]:
    """Faults that still speak against a piece."""
    return faults_of(piece).filter(subject__state__condition__in=OPEN_CONDITIONS)


def parties(collection: Collection) -> QuerySet[Party]:
    """Who may have done the work."""
    return Party.objects.of(collection)


def last_told(piece: Piece, member: Membership, limit: int) -> list[Told]:
    """The newest lines of a piece, with the names of places and people."""
    known = whereabouts(member)
    people = dict(parties(member.collection).values_list("code", "name"))

    return told_of(
        piece.subject,
        member,
        naming=lambda code: people.get(code) or known.named_then(code),
        limit=limit,
    )


def found(collection: Collection, text: str) -> list[Pick]:
    """Pieces with every word of a text in code, name, nickname or serial."""
    rows = pieces(collection)
    for word in folded(text).split():
        rows = rows.filter(search__contains=word)
    return _picks(rows[:FOUND])


def played_last(collection: Collection) -> list[Pick]:
    """The pieces of the last show or session that was logged."""
    played = Event.objects.of(collection).filter(kind="played").order_by("-placed_us", "-sequence")
    last = played.first()
    if last is None:
        return []
    named = Mention.objects.filter(entry=last, subject__kind="piece").values("subject")
    return _picks(pieces(collection).filter(subject__in=named))


def written_last(collection: Collection) -> list[Pick]:
    """The pieces that something was last recorded for."""
    rows = pieces(collection).annotate(newest=Max("subject__entries__sequence"))
    return _picks(rows.filter(newest__isnull=False).order_by("-newest")[:RECENT])


def _picks(rows: QuerySet[Piece]) -> list[Pick]:
    return [Pick(piece, dict(state_of(piece).serviced).get("strings", "")) for piece in rows]


@dataclass(frozen=True)
class Proposed:
    """A tag that imported words ask for, which nobody has hung or dropped yet."""

    piece: Piece
    event: Event


def proposed_tags(collection: Collection) -> list[Proposed]:
    """Every tag that an import proposed, by code of its piece; 2 queries."""
    rows = StateRow.objects.of(collection).filter(
        tagged_out=False, detail__has_key="tag", subject__kind="piece"
    )
    tags = {row.subject_id: from_json(row.detail).tag for row in rows}
    numbers = [tag.entry for tag in tags.values() if tag and tag.proposed]
    entries = Event.objects.of(collection).filter(sequence__in=numbers)
    shown = entries.select_related(
        "subject__piece__design", "subject__piece__maker", "subject__piece__circuit"
    )
    ordered = sorted(shown, key=lambda event: event.subject.code)
    return [Proposed(event.subject.piece, event) for event in ordered]


def newest_entry(subject: Subject) -> Event:
    """The entry written last that names a thing."""
    named = Event.objects.filter(mentions__subject=subject).select_related("subject")
    return named.order_by("-sequence")[0]

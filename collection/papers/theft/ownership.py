"""What shows that a piece is ours: how it came, papers that show it, photos."""

from dataclasses import dataclass

from collection.catalogue.models import Photo, Piece
from collection.catalogue.queries import kept_originals
from collection.core.partial_date import PartialDate
from collection.ledger.lines import sentence_of
from collection.ledger.models import Event
from collection.ledger.naming import in_names, naming_for
from collection.ledger.queries import superseded
from registry.access.models import Membership

KINDS = ("acquired", "title_changed", "documented")
MOST_PHOTOS = 3
# What tells a piece from its twins comes first.
FIRST = (Photo.View.FRONT, Photo.View.SERIAL, Photo.View.SCAR, Photo.View.GRAIN)


@dataclass(frozen=True)
class Proof:
    """Lines of the book that speak for ownership, and photos for the officer."""

    lines: tuple[str, ...] = ()
    photos: tuple[Photo, ...] = ()
    photo_count: int = 0


def ownership_of(pieces: list[Piece], member: Membership) -> dict[str, Proof]:
    """The proof of each piece by code; a fixed number of queries."""
    subjects = [piece.pk for piece in pieces]
    naming = naming_for(member)
    lines: dict[int, list[str]] = {}
    told = Event.objects.of(member.collection).filter(
        ~superseded(), subject__in=subjects, kind__in=KINDS
    )
    for event in told.order_by("placed_us", "sequence"):
        said = in_names(sentence_of(event), naming)
        when = PartialDate.parse(event.happened).sentence() if event.happened else "date not known"
        lines.setdefault(event.subject_id, []).append(
            f"{when}: {said.rstrip('.')} (entry {event.sequence})"
        )
    photos: dict[int, list[Photo]] = {}
    for photo in kept_originals(member.collection).filter(subject__in=subjects):
        photos.setdefault(photo.subject_id, []).append(photo)
    return {
        piece.code: Proof(
            tuple(lines.get(piece.pk, ())),
            tuple(sorted(photos.get(piece.pk, ()), key=_first)[:MOST_PHOTOS]),
            len(photos.get(piece.pk, ())),
        )
        for piece in pieces
    }


def _first(photo: Photo) -> tuple[int, int]:
    order = FIRST.index(photo.view) if photo.view in FIRST else len(FIRST)
    return order, photo.pk

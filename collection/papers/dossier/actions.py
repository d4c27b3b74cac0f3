"""Making a dossier: the file with its proofs, the paper around it, the record that it was made."""

import hashlib
from dataclasses import dataclass
from datetime import datetime

from django.conf import settings

from collection.bench.originality.queries import known_of
from collection.catalogue.models import Photo, Piece
from collection.catalogue.photo.keep import PhotoDamaged
from collection.catalogue.photo.shown import shown
from collection.core.dossier_file import Shown, dossier_file
from collection.ledger.leaf import content, words_text
from collection.ledger.models import Event
from collection.papers.dossier.choice import Chosen
from collection.papers.dossier.contents import contents_of
from collection.papers.dossier.queries import (
    Proofs,
    Standing,
    proofs_of,
    shows_of,
    standing,
)
from collection.papers.dossier.readme import readme
from collection.papers.made import record_paper
from collection.papers.models import PaperMade
from registry.access.models import Membership
from registry.typesetting import Attachment, Relationship, typeset

ENTRIES = "entries.json"


@dataclass(frozen=True)
class Made:
    """The record of a paper and its bytes, which are kept nowhere here."""

    record: PaperMade
    pdf: bytes


def make_dossier(*, by: Membership, chosen: Chosen, now: datetime, once: str = "") -> Made:
    """Set the dossier of a piece from what was chosen, and write down that it was made.

    Sent twice by the same press, it is set twice and written down once.
    """
    piece, book = chosen.history.piece, standing(by.collection)
    entries = entries_file(chosen, book)
    pdf = typeset(
        "dossier/dossier",
        contents_of(
            chosen,
            known_of(piece, by),
            shows=shows_of(by.collection),
            book=book,
            today=now.astimezone(by.collection.zone_info).date(),
        ),
        pictures=pictures_of(piece, chosen.photos),
        attachments=_attached(chosen, entries, book),
        title=f"Dossier of {piece.code}, {piece.called}",
        made_at=now,
    )
    return Made(record_paper(_record(by, chosen, book, pdf, now), once), pdf)


def entries_file(chosen: Chosen, book: Standing) -> bytes:
    """The attached file: every entry of the chosen lines with its proof."""
    proofs = proofs_of(book, chosen.numbers)
    entries = [
        _shown(event, book, proofs, tells=chosen.tells(line))
        for line in chosen.lines
        for event in line.events
    ]
    code = chosen.history.piece.code
    return dossier_file(subject=code, frontier=book.frontier, entries=entries, seals=proofs.grown)


def _shown(event: Event, book: Standing, proofs: Proofs, *, tells: bool) -> Shown:
    text = words_text(event.words, event.source_note) if tells else ""
    return Shown(
        content(event, book.collection, event.subject.code),
        proofs.paths[event.sequence],
        words=text or None,
        words_salt=event.words_salt if text else None,
    )


def pictures_of(piece: Piece, photos: list[Photo]) -> dict[str, bytes]:
    """The derivatives by name; a picture whose original is lost or damaged is left out."""
    found = {}
    for photo in photos:
        try:
            path = shown(settings.PHOTOS, piece.collection.book, photo.sha256, "page")
            found[f"{photo.pk}.jpg"] = path.read_bytes()
        except (FileNotFoundError, PhotoDamaged):
            continue
    return found


def _attached(chosen: Chosen, entries: bytes, book: Standing) -> list[Attachment]:
    piece = chosen.history.piece
    how = readme(piece.code, piece.collection.name, count=len(chosen.numbers), book=book)
    return [
        Attachment(
            ENTRIES, entries, "application/json",
            f"Entries of the book about {piece.code} with their proofs", Relationship.DATA,
        ),
        Attachment(
            "README.txt", how, "text/plain", "How to check the entries", Relationship.SUPPLEMENT
        ),
    ]  # fmt: skip


def _record(by: Membership, chosen: Chosen, book: Standing, pdf: bytes, now: datetime) -> PaperMade:
    return PaperMade(
        collection=by.collection,
        paper=PaperMade.Paper.DOSSIER,
        subject=chosen.history.piece.subject,
        for_whom=chosen.choice.for_whom,
        made_at=now,
        made_by=by.code,
        sha256=hashlib.sha256(pdf).hexdigest(),
        byte_count=len(pdf),
        book_size=book.size,
        root=book.root,
        entries=chosen.numbers,
        left_out=chosen.left_out,
    )

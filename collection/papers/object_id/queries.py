"""From a piece's row, photos and documents to the headings of its sheet."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Exists, OuterRef

from collection.catalogue.models import Photo, Piece
from collection.catalogue.queries import photos_of
from collection.core.date_sentence import day_words
from collection.core.events.documented import DOCUMENTS
from collection.core.lettering import spelt_out
from collection.core.object_id import Sheet, sheet
from collection.core.partial_date import PartialDate
from collection.custody.whereabouts import whereabouts
from collection.ledger.models import Event
from collection.papers.dossier.private import KEPT_BACK, Privacy, privacy_of
from registry.access.models import Membership

MOST_PHOTOS = 6


@dataclass(frozen=True)
class ObjectId:
    """A piece's sheet with the photos that are printed on it."""

    piece: Piece
    sheet: Sheet
    privacy: Privacy
    photos: tuple[Photo, ...]


def object_id_of(piece: Piece, member: Membership, *, today: date) -> ObjectId:
    """The sheet as a stranger may read it: no hidden mark, no person, no private place."""
    privacy = privacy_of(piece, whereabouts(member))
    kept = [photo for photo in photos_of(piece.subject, member) if photo.taken_out_at is None]
    shown = tuple(photo for photo in kept if not photo.shows_mark)
    said = {
        "type": (piece.get_kind_display().capitalize(), piece.family),
        "measurements": (privacy.kept(piece.size), _mass(piece)),
        "materials": (
            privacy.kept(piece.materials),
            privacy.kept(piece.finish),
            str(piece.circuit or ""),
        ),
        "inscriptions": _inscribed(privacy.serial(piece)),
        "date": (_built(piece),),
        "maker": (str(piece.maker or ""),),
        "title": (privacy.kept(piece.nickname), piece.called),
        "features": tuple(privacy.kept(str(mark)) for mark in piece.marks),
        "description": _description(piece, privacy),
        "inventory": (piece.code,),
        "written": tuple(_documents(piece)),
        "origin": (piece.made_in,),
        "related": _related(piece, privacy),
        "documented": (day_words(today),),
    }
    return ObjectId(piece, sheet(said, views=tuple(photo.view for photo in shown)), privacy, shown)


def _mass(piece: Piece) -> str:
    return f"weight {piece.mass_grams / 1000:g} kg" if piece.mass_grams else ""


def _inscribed(serial: str) -> tuple[str, ...]:
    if not serial:
        return ()
    spelt = spelt_out(serial) if serial != KEPT_BACK else ""
    return f"serial as marked: {serial}", f"spelt out: {spelt}" if spelt else ""


def _built(piece: Piece) -> str:
    return PartialDate.parse(piece.year).sentence() if piece.year else ""


def _description(piece: Piece, privacy: Privacy) -> tuple[str, ...]:
    """A sentence from the headings above, for whoever reads only one line."""
    maker = str(piece.maker or "unknown maker")
    said = [f"{piece.family or piece.get_kind_display()} by {maker}", piece.called]
    said += [f"built {_built(piece)}" if piece.year else "", piece.finish, piece.size]
    said += [f"mains {piece.mains_volts} V" if piece.mains_volts else "", piece.connectors]
    text = ", ".join(part for part in said if part and not privacy.leaks(part))
    return (f"{text[:1].upper()}{text[1:]}.",)


def _documents(piece: Piece) -> list[str]:
    later = Event.objects.filter(collection=OuterRef("collection"), corrects=OuterRef("sequence"))
    rows = Event.objects.filter(subject=piece.subject, kind="documented").exclude(Exists(later))
    return [_document(event) for event in rows.order_by("sequence")]


def _document(event: Event) -> str:
    what = DOCUMENTS.get(str(event.facts.get("what")), "document")
    dated = str(event.facts.get("dated") or "")
    return f"{what} of {PartialDate.parse(dated).sentence()}" if dated else what


def _related(piece: Piece, privacy: Privacy) -> tuple[str, ...]:
    twin = f"twin: {piece.twin}" if piece.twin else ""
    return twin, f"goes with it: {privacy.kept(piece.goes_with)}" if piece.goes_with else ""

"""What goes with a month's seal: the list of pieces, the hashes of photos, pictures."""

import csv
import io
import zipfile
from dataclasses import dataclass

from django.conf import settings

from collection.catalogue.models import Photo
from collection.catalogue.photo.keep import PhotoDamaged
from collection.catalogue.photo.shown import shown
from collection.catalogue.queries import kept_originals, pieces
from collection.core.cells import BOM, row
from collection.core.wording import amount
from collection.ledger.sealing.queries import Kept
from collection.papers.seals.sheet import as_json, as_text, with_holders
from registry.access.models import Collection

# Of pictures in one letter; many servers refuse a letter of more than 10 MB (house rule).
MOST_BYTES = 8_000_000
# A stolen piece stays on the list: it is ours, and the claim rests on it.
LEFT_FOR_GOOD = ("sold", "disposed", "given_back")
HEADINGS = ("code", "what", "maker", "serial", "built", "agreed value", "currency")


@dataclass(frozen=True)
class Enclosed:
    """One thing that goes with a letter."""

    name: str
    media_type: str
    data: bytes


@dataclass(frozen=True)
class Pictures:
    """Pictures in one file, and how many found no room."""

    enclosed: Enclosed | None
    left_out: int = 0


def of_seal(collection: Collection, kept: Kept) -> list[Enclosed]:
    """The seal in words and as a file."""
    (named,) = with_holders(collection, [kept])
    name = kept.code.lower()
    return [
        Enclosed(f"{name}.txt", "text/plain", as_text(named, collection).encode()),
        Enclosed(f"{name}.json", "application/json", as_json(kept).encode()),
    ]


def schedule(collection: Collection) -> Enclosed:
    """Pieces that have not left for good, with their agreed values, as CSV."""
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(HEADINGS)
    for piece in pieces(collection).exclude(subject__state__standing__in=LEFT_FOR_GOOD):
        value = None
        if piece.value_minor is not None:
            value = amount(piece.value_minor, piece.value_currency)
        told = (piece.code, piece.called, str(piece.maker or ""), piece.serial, piece.year)
        writer.writerow(row((*told, value, piece.value_currency)))
    return Enclosed("schedule.csv", "text/csv", (BOM + file.getvalue()).encode())


def hashes(collection: Collection) -> Enclosed:
    """SHA-256 of every original photo, in the form that `sha256sum --check` reads."""
    lines = [f"{photo.sha256}  {_name(photo)}" for photo in kept_originals(collection)]
    return Enclosed("photos.sha256", "text/plain", ("\n".join(lines) + "\n").encode())


def pictures(collection: Collection) -> Pictures:
    """Pictures without what the camera wrote into them, as many as a letter holds."""
    file, left_out, size = io.BytesIO(), 0, 0
    with zipfile.ZipFile(file, "w", zipfile.ZIP_STORED) as packed:
        for photo in kept_originals(collection).filter(shows_mark=False):
            data = _picture(collection, photo)
            if data is None or size + len(data) > MOST_BYTES:
                left_out += 1
                continue
            size += len(data)
            packed.writestr(f"{_name(photo)}.jpg", data)
    made = Enclosed("pictures.zip", "application/zip", file.getvalue()) if size else None
    return Pictures(made, left_out)


def _picture(collection: Collection, photo: Photo) -> bytes | None:
    try:
        return shown(settings.PHOTOS, collection.book, photo.sha256, "page").read_bytes()
    except (FileNotFoundError, PhotoDamaged):
        return None


def _name(photo: Photo) -> str:
    return f"{photo.subject.code}-{photo.view}-{photo.sha256[:8]}"

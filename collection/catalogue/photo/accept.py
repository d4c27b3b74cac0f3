"""Judge the bytes of a photo by what they hold, never by their name."""

import hashlib
import io
import re
import zipfile
import zlib
from dataclasses import dataclass
from datetime import datetime

from PIL import ExifTags, Image

from .opening import MOST_BYTES, PhotoRefused, format_of, opened

__all__ = ["AcceptedPhoto", "PhotoRefused", "accept"]

# What Pillow, zlib, libwebp and libheif raise on damaged files; each is a finding, not a bug.
DAMAGE = (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError,
          RuntimeError, OverflowError, zlib.error)  # fmt: skip
SIDES_SWAPPED = {5, 6, 7, 8}


@dataclass(frozen=True)
class AcceptedPhoto:
    """What is known of a photo's original bytes once they were decoded to the end."""

    sha256: str
    format: str
    width: int
    height: int
    camera_says: str
    byte_count: int


def accept(data: bytes) -> AcceptedPhoto:
    """Return what a photo's bytes are, or raise PhotoRefused with one sentence.

    Width and height are those of the upright picture. `camera_says` is Exif's
    DateTimeOriginal with its offset, or with the words 'zone unknown', or empty: a claim
    that anyone can edit, shown as such and never taken for UTC.
    """
    if len(data) > MOST_BYTES:
        raise PhotoRefused(
            f"The file has more than {MOST_BYTES // 2**20} MB, "
            "the most the register keeps for one photo."
        )
    photo_format = format_of(data)
    _refuse_two_in_one(data)
    try:
        size, camera_says = _decoded(data, photo_format)
    except PhotoRefused:
        raise
    except DAMAGE as error:
        raise PhotoRefused(
            f"The {photo_format} file is damaged or cut off: not all of the picture can be read."
        ) from error
    return AcceptedPhoto(
        hashlib.sha256(data).hexdigest(), photo_format, *size, camera_says, len(data)
    )


def _refuse_two_in_one(data: bytes) -> None:
    """Refuse a file that other programs would open as something else.

    Phones add a second picture or a short film behind a JPEG, so bytes after its end are
    no offence; an archive or a document hidden in a picture is.
    """
    if b"%PDF-" in data[:1024]:
        raise PhotoRefused("The file is a picture and a PDF document at once; send the picture.")
    if _is_archive(data):
        raise PhotoRefused("The file is a picture and a ZIP archive at once; send the picture.")


def _is_archive(data: bytes) -> bool:
    # is_zipfile alone looks for four bytes near the end, which chance can put there.
    try:
        zipfile.ZipFile(io.BytesIO(data)).close()
    except (zipfile.BadZipFile, *DAMAGE):
        return False
    return True


def _decoded(data: bytes, photo_format: str) -> tuple[tuple[int, int], str]:
    """Decode every byte once and return the upright size and what the camera says."""
    if photo_format == "PNG":
        # Checks every chunk's checksum up to the end mark; leaves the handle unusable.
        opened(data, photo_format).verify()
    picture = opened(data, photo_format)
    if photo_format != "JPEG" and getattr(picture, "n_frames", 1) > 1:
        raise PhotoRefused("The file is an animation; send one photo at a time.")
    size = picture.size
    if photo_format == "JPEG":
        # Reads the whole file all the same, in a sixty-fourth of the memory.
        picture.draft(None, (1, 1))
    picture.load()
    exif = picture.getexif()
    if exif.get(ExifTags.Base.Orientation) in SIDES_SWAPPED:
        size = size[::-1]
    return size, _camera_says(exif)


def _camera_says(exif: Image.Exif) -> str:
    details = exif.get_ifd(ExifTags.IFD.Exif)
    said = str(details.get(ExifTags.Base.DateTimeOriginal, "")).strip("\0 ")
    try:
        taken = datetime.strptime(said, "%Y:%m:%d %H:%M:%S")
    except ValueError:
        return ""
    offset = str(details.get(ExifTags.Base.OffsetTimeOriginal, "")).strip("\0 ")
    known = re.fullmatch(r"[+-](0\d|1[0-4]):[0-5]\d", offset)
    return f"{taken:%Y-%m-%d %H:%M:%S}{' ' + offset if known else ', zone unknown'}"

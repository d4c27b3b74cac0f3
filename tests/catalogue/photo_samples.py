"""Photos for the tests, drawn here; each hides a marker wherever a file can carry words."""

import io
import zlib
from pathlib import Path

from PIL import ExifTags, Image, ImageDraw

MARKER = "KEY-UNDER-THE-THIRD-FLOWERPOT"
HEIC = (Path(__file__).parents[2] / "fixtures/photos/own-drawing.heic").read_bytes()


def drawn(size=(64, 40), mode="RGB"):
    """A picture whose top left quarter is red and whose rest is blue."""
    picture = Image.new("RGB", size, (20, 40, 200))
    ImageDraw.Draw(picture).rectangle((0, 0, size[0] // 2 - 1, size[1] // 2 - 1), (220, 20, 20))
    return picture.convert(mode)


def saved(picture, photo_format, **options):
    out = io.BytesIO()
    picture.save(out, photo_format, **options)
    return out.getvalue()


def exif(*, orientation=1, taken="2026:03:12 14:03:22", offset="+01:00"):
    """Exif with a date, a place and the marker, and the marker's own thumbnail behind it."""
    said = Image.Exif()
    said[ExifTags.Base.Orientation] = orientation
    said[ExifTags.Base.ImageDescription] = MARKER
    details = said.get_ifd(ExifTags.IFD.Exif)
    if taken:
        details[ExifTags.Base.DateTimeOriginal] = taken
    if offset:
        details[ExifTags.Base.OffsetTimeOriginal] = offset
    details[ExifTags.Base.UserComment] = b"ASCII\0\0\0" + MARKER.encode()
    place = said.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef] = "N"
    place[ExifTags.GPS.GPSLatitude] = (54.0, 50.0, 12.5)
    place[ExifTags.GPS.GPSAreaInformation] = b"ASCII\0\0\0" + MARKER.encode()
    return said.tobytes() + saved(drawn((16, 10)), "JPEG", comment=MARKER)


def png_that_claims(width, height):
    """A PNG of a few bytes whose header says it is this large."""
    header = width.to_bytes(4) + height.to_bytes(4) + b"\x08\x02\0\0\0"
    return (
        b"\x89PNG\r\n\x1a\n"
        + _chunk(b"IHDR", header)
        + _chunk(b"IDAT", zlib.compress(b"\0" * 100))
        + _chunk(b"IEND", b"")
    )


def _chunk(kind, body):
    return len(body).to_bytes(4) + kind + body + zlib.crc32(kind + body).to_bytes(4)


def heic_taken_sideways():
    """The HEIC sample as a phone held upright writes it: a turn in the container, one in Exif.

    Adds an 'irot' box (ISO/IEC 23008-12, 6.5.10: quarter turns anticlockwise) as eighth
    property of the first item, moves the places of the data by the ten bytes that takes, and
    sets Exif's Orientation, which says the same a second time and must not be followed.
    """
    data = bytearray(HEIC)
    places = data.index(b"iloc") + 12
    for item in range(places, places + 5 * 20, 20):
        if data[item + 3] == 0:  # counted from the start of the file
            _add(data, item + 12, 10)
    orientation = bytes.fromhex("0112000300000001")
    if orientation not in data:
        orientation = bytes.fromhex("1201030001000000")
    data[data.index(orientation) + 8 : data.index(orientation) + 12] = (
        b"\0\6\0\0" if orientation[0] == 1 else b"\6\0\0\0"
    )
    for name in (b"meta", b"iprp"):
        _add(data, data.index(name) - 4, 10)
    _add(data, data.index(b"ipco") - 4, 9)
    table = data.index(b"ipma")
    _add(data, table - 4, 1)
    data[table + 14] += 1
    data.insert(table + 15, 0x88)
    data[table - 4 : table - 4] = b"\0\0\0\x09irot\x03"
    return bytes(data)


def _add(data, place, more):
    data[place : place + 4] = (int.from_bytes(data[place : place + 4]) + more).to_bytes(4)

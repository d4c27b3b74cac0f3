"""Open a photo's bytes without believing anything they say about themselves."""

import io
import re

import pi_heif
from PIL import Image

MOST_BYTES = 60 * 2**20
MOST_PIXELS = 120_000_000

# Pillow warns above this and raises above twice this, both before it decodes. Ours is the one
# place that opens pictures, so the line is drawn once for the whole process: a filter set
# around each call (warnings.catch_warnings) would not be safe between threads.
Image.MAX_IMAGE_PIXELS = MOST_PIXELS

# ISO/IEC 23008-12 annex B: brands of a still picture and of a sequence coded with HEVC.
HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1"}
HEIC_SEQUENCE_BRANDS = {b"hevc", b"hevx", b"hevm", b"hevs", b"msf1"}
AVIF_BRANDS = {b"avif", b"avis"}

# First bytes of what people send by mistake. Only the sentence depends on this list:
# whatever is not one of the four formats is refused whether it is named here or not.
OTHERS = [
    (rb"GIF8[79]a", "a GIF picture"),
    (rb"PK(\x03\x04|\x05\x06|\x07\x08)", "a ZIP archive or an office document"),
    (rb"%PDF-", "a PDF document"),
    (rb"%!PS|\xc5\xd0\xd3\xc6", "a PostScript (EPS) drawing"),
    (rb"II\*\x00|MM\x00\*|II\+\x00|MM\x00\+", "a TIFF picture or a camera's raw file"),
    (rb"BM.{12}[\x0c\x28\x34\x38\x40\x6c\x7c]\x00", "a BMP picture"),
    (rb"8BPS", "a Photoshop document"),
    (rb"\x1f\x8b|BZh|7z\xbc\xaf|Rar!|\xfd7zXZ", "a compressed archive"),
    (rb"(\xef\xbb\xbf)?\s*<(\?xml[^>]*>.{0,900}?<)?(!DOCTYPE svg|svg)", "an SVG drawing"),
    (rb"(\xef\xbb\xbf)?\s*<(!DOCTYPE html|html|\?xml)", "a web page"),
    (rb"\xff\x0a|\x00\x00\x00\x0cJXL ", "a JPEG XL picture"),
    (rb"\x00\x00\x00\x0cjP  ", "a JPEG 2000 picture"),
    (rb"RIFF.{4}WAVE|ID3|OggS|fLaC", "a sound recording"),
    (rb"MZ|\x7fELF", "a program"),
]


class PhotoRefused(ValueError):
    """The bytes are not a photo we keep; the message is one sentence for the person who sent it."""


def format_of(data: bytes) -> str:
    """Return 'JPEG', 'PNG', 'WEBP' or 'HEIC' as the first bytes say; refuse all else."""
    if not data:
        raise PhotoRefused("The file is empty.")
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return "WEBP"
    if data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS:
        return "HEIC"
    raise PhotoRefused(
        f"This is {_other(data)}, whatever its name says; "
        "a photo here is a JPEG, PNG, WebP or HEIC file."
    )


def _other(data: bytes) -> str:
    if data[4:8] == b"ftyp":
        if data[8:12] in AVIF_BRANDS:
            return "an AVIF picture"
        return "a sequence" if data[8:12] in HEIC_SEQUENCE_BRANDS else "a film"
    head = data[:1024]
    for pattern, words in OTHERS:
        if re.match(pattern, head, re.DOTALL | re.IGNORECASE):
            return words
    return "no picture that the register knows"


def opened(data: bytes, photo_format: str) -> Image.Image:
    """Return the picture, not yet turned upright, its pixels perhaps not yet decoded.

    Raises PhotoRefused for more than MOST_PIXELS, before any pixel is decoded.
    """
    try:
        if photo_format == "HEIC":
            return _opened_heic(data)
        picture = Image.open(io.BytesIO(data), formats=(photo_format,))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise too_many_pixels() from error
    refuse_size(picture.size)
    return picture


def _opened_heic(data: bytes) -> Image.Image:
    # Asked for by name and not registered with Pillow: nothing else in the process should
    # start to open HEIC because this module was imported.
    _refuse_cut_boxes(data)
    heif = pi_heif.open_heif(io.BytesIO(data))
    if heif.mimetype not in {"image/heic", "image/heif"}:
        raise PhotoRefused("This is a sequence or another kind of picture in a HEIC container.")
    refuse_size(heif.size)
    # The decoder has applied the container's own turn; to_pillow says so by setting Orientation 1.
    return heif.to_pillow()


def _refuse_cut_boxes(data: bytes) -> None:
    """Raise EOFError if the container's boxes reach past the end of the file.

    The decoder is content once it has the pixels, even if Exif behind them is cut off.
    Source: ISO/IEC 14496-12, 4.2: size (32 bits, big-endian), kind, and if size is 1 the
    size in 64 bits; 0 means up to the end.
    """
    at = 0
    while at < len(data):
        size = int.from_bytes(data[at : at + 4])
        if size == 1:
            size = int.from_bytes(data[at + 8 : at + 16])
        elif size == 0:
            return
        if size < 8 or at + size > len(data):
            raise EOFError(f"box at {at} of {size} bytes in a file of {len(data)}")
        at += size


def refuse_size(size: tuple[int, int]) -> None:
    """Refuse a picture that says it has more pixels than we decode."""
    width, height = size
    if width * height > MOST_PIXELS:
        raise too_many_pixels()


def too_many_pixels() -> PhotoRefused:
    """Return the refusal of a picture that would fill the memory when opened."""
    return PhotoRefused(
        f"The picture says it has more than {MOST_PIXELS // 1_000_000} million pixels, "
        "more than the register opens; send a smaller one."
    )

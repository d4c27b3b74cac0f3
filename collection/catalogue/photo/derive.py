"""Make the pictures that are shown: new files, from the pixels of the original alone."""

import hashlib
import io

from PIL import Image, ImageCms, ImageOps

from .accept import AcceptedPhoto
from .opening import opened

# Longest side in pixels. 'page' fills a column on a dense screen; 'thumb' a row of a list.
SIZES = {"page": 1280, "thumb": 320}
QUALITY = 82
PAPER = (255, 255, 255)
# Kinds of pixel that can be averaged as they are; palettes and 16 bits cannot.
SMOOTH_MODES = {"RGB", "RGBA", "L", "LA", "CMYK"}


def derivatives(data: bytes, accepted: AcceptedPhoto) -> dict[str, bytes]:
    """Return one JPEG for each of SIZES, upright, never larger than the original.

    Nothing but pixels is carried over: no Exif, GPS, XMP, comment, thumbnail or colour
    profile. A profile is applied first (to sRGB, which a picture without one is taken for);
    transparency is laid on white. Raises ValueError if `accepted` speaks of other bytes.
    """
    if hashlib.sha256(data).hexdigest() != accepted.sha256:
        raise ValueError(f"these bytes are not the photo {accepted.sha256}")
    picture = opened(data, accepted.format)
    if picture.mode not in SMOOTH_MODES:
        picture = _in_srgb(picture)
    # Smaller first, then the rest: turning and colours would each copy all of the pixels.
    _shrink(picture, SIZES["page"])
    picture = _in_srgb(ImageOps.exif_transpose(picture))
    made = {}
    for name, longest in SIZES.items():
        _shrink(picture, longest)
        made[name] = _jpeg(picture)
    return made


def _shrink(picture: Image.Image, longest: int) -> None:
    """Shrink in place, keeping the proportions; a picture that fits already stays as it is.

    The gap of 1.5 lets a JPEG's decoder and a plain average do the halving down to half as
    large again, before the finer filter (12 MP JPEG: 168 MB at the peak became 100 MB).
    """
    picture.thumbnail((longest, longest), Image.Resampling.LANCZOS, reducing_gap=1.5)


def _in_srgb(picture: Image.Image) -> Image.Image:
    profile = picture.info.get("icc_profile")
    if profile and picture.mode in {"RGB", "CMYK", "L"}:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            return ImageCms.profileToProfile(
                picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
        except (ImageCms.PyCMSError, OSError, ValueError):
            # A broken profile, or one for another kind of pixel: show the bare values.
            return picture.convert("RGB")
    if picture.mode.startswith("I"):
        return _sixteen_bits_as_eight(picture).convert("RGB")
    if picture.mode == "RGB" and not picture.has_transparency_data:
        return picture
    if not picture.has_transparency_data:
        return picture.convert("RGB")
    ground = Image.new("RGBA", picture.size, (*PAPER, 255))
    return Image.alpha_composite(ground, picture.convert("RGBA")).convert("RGB")


def _sixteen_bits_as_eight(picture: Image.Image) -> Image.Image:
    # Mode I keeps 0 to 65535, and a plain convert would clip all above 255 to white.
    return picture.convert("I").point(lambda value: value * (1 / 257)).convert("L")


def _jpeg(picture: Image.Image) -> bytes:
    # Rebuilt from raw pixels: a JPEG's comment outlives an ordinary save (tried, Pillow 13.0).
    bare = Image.frombytes("RGB", picture.size, picture.tobytes())
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return out.getvalue()

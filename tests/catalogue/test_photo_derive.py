"""What is shown of a photo: its pixels, upright, and nothing else."""

import hashlib
import io

import pytest
from PIL import Image, ImageCms, PngImagePlugin

from collection.catalogue.photo.accept import accept
from collection.catalogue.photo.derive import SIZES, derivatives
from tests.catalogue.photo_samples import HEIC, MARKER, drawn, exif, heic_taken_sideways, saved

XMP = f'<x:xmpmeta xmlns:x="adobe:ns:meta/"><a b="{MARKER}"/></x:xmpmeta>'.encode()


def made(data):
    return derivatives(data, accept(data))


def shown(data, size="page"):
    return Image.open(io.BytesIO(made(data)[size]))


def is_red(pixel):
    red, green, blue = pixel[:3]
    return red > 180 and green < 60 and blue < 60


def text_png():
    words = PngImagePlugin.PngInfo()
    words.add_text("Comment", MARKER)
    words.add_itxt("XML:com.adobe.xmp", XMP.decode())
    return saved(drawn(), "PNG", pnginfo=words, exif=exif())


SAMPLES = {
    "JPEG": saved(drawn(), "JPEG", exif=exif(), xmp=XMP, comment=MARKER),
    "PNG": text_png(),
    "WEBP": saved(drawn(), "WEBP", exif=exif(), xmp=XMP),
    "HEIC": HEIC,
}


@pytest.mark.parametrize("photo_format", SAMPLES)
def test_nothing_written_into_a_photo_reaches_what_is_shown(photo_format):
    data = SAMPLES[photo_format]
    assert data.count(MARKER.encode()) >= 4, "comment or XMP, Exif, GPS and thumbnail"
    for picture in made(data).values():
        assert MARKER.encode() not in picture
        for mark in (b"Exif", b"http", b"ICC_PROFILE", b"\xff\xfe"):
            assert mark not in picture[:600]
        assert not Image.open(io.BytesIO(picture)).getexif()


def test_the_marker_would_survive_an_ordinary_save():
    # Why derivatives are rebuilt from pixels: this is what the test above would catch.
    opened = Image.open(io.BytesIO(SAMPLES["JPEG"]))
    assert MARKER.encode() in saved(opened, "JPEG")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("orientation", "corner"),
    # Exif 2.3, table of Orientation: where the stored first row and column belong.
    [(1, "tl"), (2, "tr"), (3, "br"), (4, "bl"), (5, "tl"), (6, "tr"), (7, "br"), (8, "bl")],
)
def test_a_photo_is_shown_upright(orientation, corner, size):
    data = saved(drawn((64, 40)), "JPEG", quality=95, exif=exif(orientation=orientation))
    picture = shown(data, size)
    assert picture.size == ((64, 40) if orientation < 5 else (40, 64))
    x = 4 if corner[1] == "l" else picture.width - 5
    y = 4 if corner[0] == "t" else picture.height - 5
    assert is_red(picture.getpixel((x, y)))
    assert not is_red(picture.getpixel((picture.width - 1 - x, y)))


def test_a_heic_taken_sideways_is_turned_once_and_not_twice():
    data = heic_taken_sideways()
    photo = accept(data)
    assert (photo.width, photo.height) == (200, 320)
    page = shown(data)
    assert page.size == (200, 320)
    assert is_red(page.getpixel((190, 10)))


def test_a_large_photo_comes_out_at_each_size():
    data = saved(drawn((4000, 3000)), "JPEG")
    assert shown(data, "page").size == (1280, 960)
    assert shown(data, "thumb").size == (320, 240)


def test_a_small_photo_is_not_enlarged():
    data = saved(drawn((50, 30)), "PNG")
    assert {shown(data, size).size for size in SIZES} == {(50, 30)}


def test_a_line_of_pixels_is_still_a_picture():
    assert shown(saved(drawn((5000, 2)), "PNG"), "thumb").size == (320, 1)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "CMYK", "I;16"])
def test_every_kind_of_pixel_is_shown(mode):
    photo_format = "JPEG" if mode == "CMYK" else "PNG"
    if mode == "I;16":
        picture = Image.new("I;16", (64, 40), 200 * 257)
    else:
        picture = drawn(mode="L" if mode == "1" else mode).convert(mode)
    page = shown(saved(picture, photo_format))
    assert (page.mode, page.size) == ("RGB", (64, 40))
    if mode == "I;16":
        assert all(abs(value - 200) <= 2 for value in page.getpixel((30, 20)))


def test_what_is_transparent_is_shown_on_white():
    page = shown(saved(Image.new("RGBA", (64, 40), (200, 0, 0, 0)), "PNG"))
    assert min(page.getpixel((30, 20))) >= 253


def test_a_colour_profile_is_applied_before_it_is_dropped():
    # Two profiles: littleCMS's own sRGB, and the same with its red and blue columns exchanged.
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    exchanged = (
        profile.replace(b"rXYZ", b"xxxx", 1).replace(b"bXYZ", b"rXYZ", 1).replace(b"xxxx", b"bXYZ")
    )
    assert exchanged != profile
    picture = Image.new("RGB", (64, 40), (10, 20, 240))
    plain = shown(saved(picture, "PNG", icc_profile=profile)).getpixel((30, 20))
    assert plain[2] > 230
    turned = shown(saved(picture, "PNG", icc_profile=exchanged)).getpixel((30, 20))
    assert turned[0] > 230
    assert turned[2] < 60


def test_a_broken_colour_profile_is_passed_over():
    page = shown(saved(drawn(), "PNG", icc_profile=b"no profile at all"))
    assert is_red(page.getpixel((4, 4)))


def test_the_original_stays_as_it_was():
    data = SAMPLES["JPEG"]
    before = hashlib.sha256(data).hexdigest()
    made(data)
    assert hashlib.sha256(data).hexdigest() == before == accept(data).sha256


def test_the_same_photo_gives_the_same_pictures():
    assert made(HEIC) == made(HEIC)


def test_pictures_are_not_made_from_other_bytes():
    other = accept(saved(drawn(), "PNG"))
    with pytest.raises(ValueError, match="not the photo"):
        derivatives(HEIC, other)

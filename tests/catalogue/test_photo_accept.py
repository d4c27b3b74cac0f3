"""What is taken for a photo, what is refused, and with which words."""

import hashlib
import io
import zipfile

import pytest
from PIL import Image

from collection.catalogue.photo import opening
from collection.catalogue.photo.accept import PhotoRefused, accept
from tests.catalogue.photo_samples import HEIC, drawn, exif, png_that_claims, saved


def archive():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        made.writestr("inside.txt", "not a photo")
    return out.getvalue()


def refusal(data):
    with pytest.raises(PhotoRefused) as caught:
        accept(data)
    words = str(caught.value)
    assert words.endswith(".")
    assert ". " not in words, "one sentence"
    return words


@pytest.mark.parametrize("photo_format", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_accepted_by_what_it_holds(photo_format):
    data = saved(drawn((64, 40)), photo_format, exif=exif())
    photo = accept(data)
    assert photo.sha256 == hashlib.sha256(data).hexdigest()
    assert (photo.format, photo.width, photo.height) == (photo_format, 64, 40)
    assert photo.byte_count == len(data)
    assert photo.camera_says == "2026-03-12 14:03:22 +01:00"


def test_a_phones_heic_is_accepted():
    photo = accept(HEIC)
    assert (photo.format, photo.width, photo.height) == ("HEIC", 320, 200)
    assert photo.camera_says == "2026-03-12 14:03:22 +01:00"


def test_a_picture_taken_sideways_counts_its_upright_width():
    photo = accept(saved(drawn((64, 40)), "JPEG", exif=exif(orientation=6)))
    assert (photo.width, photo.height) == (40, 64)


# Exif 2.31 (CIPA DC-008): DateTimeOriginal has no zone; a blank offset means it is not known.
@pytest.mark.parametrize(
    ("taken", "offset", "says"),
    [
        ("2026:03:12 14:03:22", None, "2026-03-12 14:03:22, zone unknown"),
        ("2026:03:12 14:03:22", "   :  ", "2026-03-12 14:03:22, zone unknown"),
        ("2026:03:12 14:03:22", "<b>Z</b>", "2026-03-12 14:03:22, zone unknown"),
        ("2026:03:12 14:03:22", "-09:30", "2026-03-12 14:03:22 -09:30"),
        ("0000:00:00 00:00:00", "+01:00", ""),
        ("    :  :     :  :  ", "+01:00", ""),
        ("yesterday", None, ""),
        (None, "+01:00", ""),
    ],
)
def test_the_cameras_time_is_repeated_without_guessing_a_zone(taken, offset, says):
    data = saved(drawn(), "JPEG", exif=exif(taken=taken, offset=offset))
    assert accept(data).camera_says == says


@pytest.mark.parametrize(
    ("data", "named"),
    [
        (b"", "empty"),
        (archive(), "ZIP"),
        (saved(drawn(), "GIF"), "GIF"),
        (saved(drawn(), "TIFF"), "TIFF"),
        (saved(drawn(), "BMP"), "BMP"),
        (saved(drawn(), "EPS"), "EPS"),
        (saved(drawn(), "PDF"), "PDF"),
        (b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>', "SVG"),
        (b'<?xml version="1.0"?>\n<!-- a -->\n<svg xmlns="http://www.w3.org/2000/svg"/>', "SVG"),
        (b"<!DOCTYPE html><title>photo</title>", "web page"),
        (b"\0\0\0\x20ftypavif" + b"\0" * 40, "AVIF"),
        (b"\0\0\0\x20ftypisom" + b"\0" * 40, "film"),
        (b"\0\0\0\x20ftyphevc" + b"\0" * 40, "sequence"),
        (b"a diary", "no picture that the register knows"),
    ],
)
def test_other_files_are_refused_by_name_whatever_they_are_called(data, named):
    assert named in refusal(data)


@pytest.mark.parametrize("photo_format", ["PNG", "WEBP"])
def test_an_animation_is_refused(photo_format):
    frames = [drawn(), drawn().rotate(180)]
    data = saved(frames[0], photo_format, save_all=True, append_images=frames[1:])
    assert "animation" in refusal(data)


def test_a_phones_second_picture_behind_a_jpeg_is_no_offence():
    # CIPA DC-007: a multi-picture file is a JPEG with further JPEGs behind it.
    data = saved(drawn((64, 40)), "MPO", save_all=True, append_images=[drawn((32, 20))])
    photo = accept(data)
    assert (photo.format, photo.width, photo.height) == ("JPEG", 64, 40)


@pytest.mark.parametrize("photo_format", ["JPEG", "PNG", "WEBP"])
def test_a_picture_that_is_also_an_archive_is_refused(photo_format):
    assert "ZIP" in refusal(saved(drawn(), photo_format) + archive())


def test_a_picture_that_is_also_a_pdf_is_refused():
    assert "PDF" in refusal(saved(drawn(), "JPEG", comment=b"%PDF-1.7"))


@pytest.mark.parametrize("photo_format", ["JPEG", "PNG", "WEBP", "HEIC"])
def test_a_photo_cut_off_anywhere_is_refused(photo_format):
    data = HEIC if photo_format == "HEIC" else saved(drawn(), photo_format, exif=exif())
    for cut in range(12, len(data) - 2, 41):
        assert "cut off" in refusal(data[:cut]), cut


def test_a_png_with_a_flipped_bit_is_refused():
    data = bytearray(saved(drawn(), "PNG"))
    data[len(data) // 2] ^= 0x10
    assert "damaged" in refusal(bytes(data))


@pytest.mark.parametrize("size", [(60_000, 60_000), (13_000, 10_000), (2**31 - 1, 1)])
def test_a_picture_that_would_fill_the_memory_is_refused_before_it_is_decoded(size):
    assert "120 million pixels" in refusal(png_that_claims(*size))


@pytest.mark.parametrize("size", [(0, 0), (0, 40)])
def test_a_picture_without_pixels_is_refused(size):
    assert "damaged" in refusal(png_that_claims(*size))


def test_a_heic_that_claims_too_many_pixels_is_refused():
    # The size stands in the 'ispe' box (ISO/IEC 23008-12, 6.5.3): version, width, height.
    at = HEIC.index(b"ispe") + 8
    claims = (60_000).to_bytes(4)
    sizes = HEIC[at : at + 8]
    assert sizes == (320).to_bytes(4) + (200).to_bytes(4)
    assert "120 million" in refusal(
        HEIC.replace(b"ispe\0\0\0\0" + sizes, b"ispe\0\0\0\0" + claims + claims)
    )


def test_a_file_above_the_limit_is_refused(monkeypatch):
    data = saved(drawn(), "PNG")
    monkeypatch.setattr("collection.catalogue.photo.accept.MOST_BYTES", len(data) - 1)
    assert "the most the register keeps" in refusal(data)
    monkeypatch.setattr("collection.catalogue.photo.accept.MOST_BYTES", len(data))
    assert accept(data).byte_count == len(data)


def test_pillow_draws_the_same_line_as_we_do():
    assert Image.MAX_IMAGE_PIXELS == opening.MOST_PIXELS


def test_nothing_else_learns_to_open_heic():
    with pytest.raises(Image.UnidentifiedImageError):
        Image.open(io.BytesIO(HEIC))

"""Photos on pages: taken in, refused in words, shown behind the gate, tidied."""

import hashlib
import os
import time

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command

from collection.catalogue.actions import add_photo, add_piece
from collection.catalogue.models import Photo
from tests.builders import client_of
from tests.catalogue.photo_samples import MARKER, drawn, exif, saved


@pytest.fixture(autouse=True)
def shelf(settings, tmp_path):
    """Photos of one test, on a shelf of their own."""
    settings.PHOTOS = tmp_path
    return tmp_path


@pytest.fixture
def piece(technician):
    return add_piece(
        collection=technician.collection, by=technician, code="A-001", kind="amplifier"
    )


@pytest.fixture
def send(technician_client, piece):
    address = f"/{piece.collection.slug}/pieces/A-001/photos/add/"

    def sent(data, name="IMG_1.jpg", **typed):
        file = SimpleUploadedFile(name, data)
        return technician_client.post(address, {"photo": file, "view": "front", **typed})

    return sent


def a_photo(piece, by, data=None, **known):
    data = data or saved(drawn(), "PNG")
    return add_photo(collection=piece.collection, by=by, subject=piece.subject, data=data, **known)


def show(client, photo, size):
    return client.get(f"/{photo.collection.slug}/pieces/photos/{photo.pk}/{size}/")


def body(answer):
    return b"".join(answer.streaming_content)


def test_a_photo_from_a_phone_is_kept_with_what_it_shows(piece, send):
    data = saved(drawn(), "JPEG", exif=exif())
    assert send(data, view="serial", caption="under the strap").status_code == 302
    kept = Photo.objects.of(piece.collection).get()
    assert (kept.view, kept.caption) == ("serial", "under the strap")
    assert kept.sha256 == hashlib.sha256(data).hexdigest()


def test_the_field_asks_a_phone_for_its_camera(piece, technician_client):
    page = technician_client.get(f"/{piece.collection.slug}/pieces/A-001/photos/add/")
    assert 'accept="image/*" capture="environment"' in page.content.decode()


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"%PDF-1.7 not a photo", "JPEG, PNG, WebP or HEIC"),
        (saved(drawn(), "PNG")[:-30], "damaged or cut off"),
        (b"", "The file is empty"),
    ],
)
def test_what_is_no_photo_is_refused_beside_its_field_and_the_rest_stays(
    piece, send, data, sentence
):
    page = send(data, caption="under the strap", view="back")
    said = page.content.decode()
    assert page.status_code == 200
    assert sentence in said.split('id="id_photo_error"')[1].split("</div>")[0]
    assert 'value="under the strap"' in said
    assert '<option value="back" selected>' in said
    assert not Photo.objects.of(piece.collection).exists()


@pytest.mark.parametrize("size", ["thumb", "page"])
def test_a_shown_picture_carries_nothing_the_camera_wrote(piece, technician, viewer, size):
    photo = a_photo(piece, technician, saved(drawn(), "JPEG", exif=exif(), comment=MARKER))
    answer = show(client_of(viewer), photo, size)
    assert answer.headers["Content-Type"] == "image/jpeg"
    assert answer.headers["Cache-Control"] == "private, max-age=31536000, immutable"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert MARKER.encode() not in body(answer)


def test_the_original_is_handed_out_untouched_to_who_records(piece, technician, viewer):
    data = saved(drawn(), "JPEG", exif=exif())
    photo = a_photo(piece, technician, data, view="serial")
    answer = show(client_of(technician), photo, "original")
    assert body(answer) == data
    assert answer.headers["Content-Disposition"].startswith('attachment; filename="A-001-serial-')
    assert answer.headers["Cache-Control"] == "private, no-store"
    assert show(client_of(viewer), photo, "original").status_code == 403


def test_a_photo_of_the_hidden_mark_is_not_for_viewers(piece, technician, viewer):
    photo = a_photo(piece, technician, shows_mark=True)
    assert show(client_of(technician), photo, "thumb").status_code == 200
    assert show(client_of(viewer), photo, "thumb").status_code == 404
    page = client_of(viewer).get(f"/{piece.collection.slug}/pieces/A-001/photos/")
    assert "No photo yet" in page.content.decode()


def test_a_photo_of_another_collection_is_not_found(piece, technician, stranger):
    photo = a_photo(piece, technician)
    address = f"/{stranger.collection.slug}/pieces/photos/{photo.pk}/thumb/"
    assert client_of(stranger).get(address).status_code == 404


def test_a_size_nobody_makes_is_not_found(piece, technician):
    photo = a_photo(piece, technician)
    assert show(client_of(technician), photo, "poster").status_code == 404


def test_a_photo_whose_file_is_gone_is_not_found(piece, technician, shelf):
    photo = a_photo(piece, technician)
    (shelf / piece.collection.book / photo.sha256).unlink()
    assert show(client_of(technician), photo, "original").status_code == 404
    assert show(client_of(technician), photo, "thumb").status_code == 404


def test_tidy_removes_old_files_without_a_row_and_nothing_else(piece, technician, shelf, capsys):
    photo = a_photo(piece, technician)
    folder = shelf / piece.collection.book
    old, young = folder / ("a" * 64), folder / ("b" * 64)
    two_days_ago = time.time() - 2 * 86400
    for path in (old, young):
        path.write_bytes(b"left behind")
    for path in (old, folder / photo.sha256):
        os.utime(path, (two_days_ago, two_days_ago))
    call_command("tidy")
    assert not old.exists()
    assert young.exists()
    assert (folder / photo.sha256).exists()
    assert "1 file removed." in capsys.readouterr().out

"""A photo with somebody in it can be taken out; the book still proves itself."""

import pytest

from collection.catalogue.actions import add_photo, add_piece
from collection.catalogue.models import Photo
from collection.catalogue.photo.keep import derived_path, original_path
from collection.catalogue.photo.shown import shown
from collection.catalogue.photo_removal import take_out_photo
from collection.catalogue.queries import kept_photos, photos_of
from collection.ledger import proof
from collection.ledger.errors import LedgerError
from tests.catalogue.photo_samples import drawn, saved

pytestmark = pytest.mark.django_db
PICTURE = saved(drawn(), "PNG")


@pytest.fixture
def photo(collection, keeper, settings, tmp_path):
    settings.PHOTOS = tmp_path
    who = {"collection": collection, "by": keeper}
    for code in ("A-007", "A-008"):
        piece = add_piece(**who, code=code, kind="amplifier")
        row = add_photo(
            **who, subject=piece.subject, data=PICTURE, view="front", caption="Ola with it"
        )
    shown(tmp_path, collection.book, row.sha256, "page")
    return row


@pytest.fixture
def gone(photo, keeper, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        take_out_photo(photo=photo, by=keeper, because="a child is in it")
    return photo


def test_the_bytes_go_and_the_hash_and_the_proof_stay(gone, collection, settings):
    rows = Photo.objects.of(collection)
    assert not original_path(settings.PHOTOS, collection.book, gone.sha256).exists()
    assert not derived_path(settings.PHOTOS, collection.book, gone.sha256, "page").exists()
    assert {row.sha256 for row in rows} == {gone.sha256}
    assert not [row for row in rows if row.caption]
    assert proof.verify(collection).fits


def test_it_is_shown_nowhere_on_no_piece_it_hung_on(gone, collection, keeper, keeper_client):
    assert photos_of(gone.subject, keeper) == []
    for row in Photo.objects.of(collection):
        for size in ("page", "original"):
            path = f"/{collection.slug}/pieces/photos/{row.pk}/{size}/"
            assert keeper_client.get(path).status_code == 404
    page = keeper_client.get(f"/{collection.slug}/pieces/A-007/photos/").content.decode()
    assert "because: a child is in it" in page
    assert gone.sha256 in page
    assert "Ola" not in page


def test_files_stay_until_the_entry_is_written_for_good(photo, keeper, collection, settings):
    take_out_photo(photo=photo, by=keeper, because="a child is in it")
    # Nothing has been committed inside a test; a crash here must not leave a row without a file.
    assert original_path(settings.PHOTOS, collection.book, photo.sha256).exists()
    assert kept_photos(collection) == set()  # so that `tidy` removes what a crash left


def test_the_same_photo_sent_again_is_not_kept(gone, collection, keeper, settings):
    again = add_photo(collection=collection, by=keeper, subject=gone.subject, data=PICTURE)
    assert again.taken_out_at is not None
    assert not original_path(settings.PHOTOS, collection.book, gone.sha256).exists()


def test_taken_out_twice_is_refused(gone, keeper):
    with pytest.raises(LedgerError, match="already"):
        take_out_photo(photo=gone, by=keeper, because="again")


def test_only_a_keeper_takes_a_photo_out(photo, collection, keeper_client, technician_client):
    path = f"/{collection.slug}/pieces/photos/{photo.pk}/take-out/"
    assert technician_client.get(path).status_code == 403
    assert keeper_client.post(path, {"because": "a child"}).status_code == 422
    answer = keeper_client.post(path, {"because": "a child", "sure": "on"}, follow=True)
    assert b"because: a child" in answer.content
    assert Photo.objects.get(pk=photo.pk).taken_out_in is not None

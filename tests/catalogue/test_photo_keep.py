"""Originals on disk: written once, forced to disk, never changed."""

import hashlib
import os
from datetime import UTC, datetime, timedelta

import pytest

from collection.catalogue.photo.accept import accept
from collection.catalogue.photo.derive import SIZES, derivatives
from collection.catalogue.photo.keep import (
    PhotoDamaged,
    derived_path,
    keep,
    keep_derived,
    original_path,
    read_original,
    tidy,
)
from collection.catalogue.photo.shown import shown
from tests.catalogue.photo_samples import drawn, exif, saved

BOOK = "0123456789abcdef" * 2
PHOTO = saved(drawn(), "JPEG", exif=exif())
SHA = hashlib.sha256(PHOTO).hexdigest()
LATER = datetime.now(UTC) + timedelta(days=2)


def files(root):
    return sorted(path.relative_to(root) for path in root.rglob("*") if path.is_file())


def test_the_original_is_kept_to_the_byte(tmp_path):
    path = keep(tmp_path, BOOK, PHOTO, SHA)
    assert path == tmp_path / BOOK / SHA
    assert path.read_bytes() == PHOTO == read_original(tmp_path, BOOK, SHA)
    assert len(files(tmp_path)) == 1, "no temporary file left"


def test_bytes_and_folders_reach_the_disk_around_the_renaming(tmp_path, monkeypatch):
    steps = []
    fsync, rename = os.fsync, os.rename
    monkeypatch.setattr(os, "fsync", lambda handle: (steps.append("fsync"), fsync(handle)))
    monkeypatch.setattr(os, "rename", lambda *names: (steps.append("rename"), rename(*names)))
    keep(tmp_path, BOOK, PHOTO, SHA)
    assert steps == ["fsync", "fsync", "rename", "fsync"], "new folder, file, name, its folder"


def test_a_kept_photo_is_never_written_again(tmp_path):
    path = keep(tmp_path, BOOK, PHOTO, SHA)
    before = path.stat().st_ino
    assert keep(tmp_path, BOOK, PHOTO, SHA).stat().st_ino == before


def test_a_photo_that_changed_on_disk_is_reported_and_not_replaced(tmp_path):
    path = keep(tmp_path, BOOK, PHOTO, SHA)
    path.write_bytes(PHOTO[:-1])
    for act in (
        lambda: read_original(tmp_path, BOOK, SHA),
        lambda: keep(tmp_path, BOOK, PHOTO, SHA),
    ):
        with pytest.raises(PhotoDamaged, match="restore it"):
            act()
    assert path.read_bytes() == PHOTO[:-1]


def test_bytes_are_not_kept_under_anothers_hash(tmp_path):
    with pytest.raises(ValueError, match="not the photo"):
        keep(tmp_path, BOOK, PHOTO, "0" * 64)
    assert files(tmp_path) == []


@pytest.mark.parametrize("book", ["", "..", "../" + BOOK, BOOK.upper(), BOOK + "\n", "derived"])
def test_a_book_cannot_name_a_place_elsewhere(tmp_path, book):
    with pytest.raises(ValueError, match="book"):
        original_path(tmp_path, book, SHA)


@pytest.mark.parametrize("sha256", ["", "../" + SHA, SHA[:-1], SHA + "\n"])
def test_a_hash_cannot_name_a_place_elsewhere(tmp_path, sha256):
    with pytest.raises(ValueError, match="SHA-256"):
        derived_path(tmp_path, BOOK, sha256, "thumb")


def test_a_size_cannot_name_a_place_elsewhere(tmp_path):
    with pytest.raises(ValueError, match="size"):
        derived_path(tmp_path, BOOK, SHA, "../thumb")


def test_a_disk_that_fails_leaves_no_half_photo(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "rename", full)
    with pytest.raises(OSError, match="No space"):
        keep(tmp_path, BOOK, PHOTO, SHA)
    assert files(tmp_path) == []


def test_a_lost_derivative_is_made_again_from_the_original(tmp_path):
    keep(tmp_path, BOOK, PHOTO, SHA)
    pictures = derivatives(PHOTO, accept(PHOTO))
    keep_derived(tmp_path, BOOK, SHA, pictures)
    for size in SIZES:
        path = shown(tmp_path, BOOK, SHA, size)
        assert path == derived_path(tmp_path, BOOK, SHA, size)
        path.unlink()
        assert shown(tmp_path, BOOK, SHA, size).read_bytes() == pictures[size]


def test_a_lost_original_is_not_made_up(tmp_path):
    with pytest.raises(FileNotFoundError):
        shown(tmp_path, BOOK, SHA, "thumb")


def test_tidying_removes_what_no_row_speaks_of(tmp_path):
    orphan = saved(drawn((8, 8)), "PNG")
    orphan_sha = hashlib.sha256(orphan).hexdigest()
    for data, sha256 in ((PHOTO, SHA), (orphan, orphan_sha)):
        keep(tmp_path, BOOK, data, sha256)
        keep_derived(tmp_path, BOOK, sha256, derivatives(data, accept(data)))
    (tmp_path / BOOK / ".arriving-left").write_bytes(b"half")
    (tmp_path / BOOK / "notes.txt").write_text("somebody's own")
    removed = tidy(tmp_path, {(BOOK, SHA)}, LATER)
    assert len(removed) == 4, "original, two sizes, one half-written file"
    left = {path.name for path in files(tmp_path)}
    assert left == {SHA, f"{SHA}-page.jpg", f"{SHA}-thumb.jpg", "notes.txt"}


def test_the_same_photo_in_another_book_is_another_photo(tmp_path):
    other = BOOK[::-1]
    keep(tmp_path, BOOK, PHOTO, SHA)
    keep(tmp_path, other, PHOTO, SHA)
    assert tidy(tmp_path, {(BOOK, SHA)}, LATER) == [tmp_path / other / SHA]


def test_tidying_leaves_what_has_just_arrived(tmp_path):
    keep(tmp_path, BOOK, PHOTO, SHA)
    assert tidy(tmp_path, set(), LATER - timedelta(days=3)) == []


def test_an_old_orphan_that_is_sent_again_counts_as_just_arrived(tmp_path):
    path = keep(tmp_path, BOOK, PHOTO, SHA)
    os.utime(path, (0, 0))
    keep(tmp_path, BOOK, PHOTO, SHA)
    assert tidy(tmp_path, set(), LATER - timedelta(days=3)) == []

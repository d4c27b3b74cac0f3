"""Keep photos on disk: originals under the name of their hash, written once."""

import hashlib
import os
import re
import tempfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

DERIVED = "derived"
ARRIVING = ".arriving-"


class PhotoDamaged(Exception):
    """A kept original no longer has the bytes its name stands for: restore it from a backup."""


def original_path(root: Path, book: str, sha256: str) -> Path:
    """Return where an original stands: `<root>/<book>/<sha256>`."""
    if not re.fullmatch(r"[0-9a-f]{32}", book):
        raise ValueError(f"not the name of a book (32 hex digits): {book!r}")
    if not re.fullmatch(r"[0-9a-f]{64}", sha256):
        raise ValueError(f"not a SHA-256 (64 hex digits): {sha256!r}")
    return root / book / sha256


def derived_path(root: Path, book: str, sha256: str, size: str) -> Path:
    """Return where a picture made from an original stands, or would stand.

    All of them are under `<root>/derived`, so that a backup can leave that folder out.
    """
    original = original_path(root, book, sha256)
    if not re.fullmatch(r"[a-z]+", size):
        raise ValueError(f"not the name of a size: {size!r}")
    return root / DERIVED / book / f"{original.name}-{size}.jpg"


def keep(root: Path, book: str, data: bytes, sha256: str) -> Path:
    """Put an original on disk so that it survives a power cut, and return where it stands.

    A file that is already there is left as it is. Raises PhotoDamaged if that one no longer
    matches its name, ValueError if `data` does not match `sha256`.
    """
    target = original_path(root, book, sha256)
    if hashlib.sha256(data).hexdigest() != sha256:
        raise ValueError(f"these bytes are not the photo {sha256}")
    if target.exists():
        read_original(root, book, sha256)
        # An orphan that is sent again gets a row in a moment: it must look new to `tidy`.
        os.utime(target)
        return target
    _write(target, data)
    return target


def keep_derived(root: Path, book: str, sha256: str, pictures: dict[str, bytes]) -> None:
    """Put the pictures made from an original on disk, in place of earlier ones."""
    for size, data in pictures.items():
        _write(derived_path(root, book, sha256, size), data)


def read_original(root: Path, book: str, sha256: str) -> bytes:
    """Return an original's bytes, checked against its name.

    Raises FileNotFoundError if it is not there, PhotoDamaged if it changed.
    """
    path = original_path(root, book, sha256)
    data = path.read_bytes()
    if hashlib.sha256(data).hexdigest() != sha256:
        raise PhotoDamaged(f"{path} has changed since it was kept; restore it from a backup")
    return data


def remove(root: Path, book: str, sha256: str) -> None:
    """Remove an original and every picture made from it; nothing happens where they are gone."""
    original_path(root, book, sha256).unlink(missing_ok=True)
    for path in (root / DERIVED / book).glob(f"{sha256}-*.jpg"):
        path.unlink()


def tidy(root: Path, known: set[tuple[str, str]], older_than: datetime) -> list[Path]:
    """Remove what no row speaks of and was last touched before `older_than`; return it.

    `known` holds (book, sha256). Young files stay: their row may be about to be written.
    """
    before = older_than.timestamp()
    removed = []
    for path, owner in sorted(_ours(root)):
        if owner not in known and path.stat().st_mtime < before:
            path.unlink()
            removed.append(path)
    return removed


def _ours(root: Path) -> Iterator[tuple[Path, tuple[str, str]]]:
    """Yield every file of ours with the (book, sha256) it belongs to; nothing else is touched."""
    shelves = [(root, r"[0-9a-f]{64}"), (root / DERIVED, r"[0-9a-f]{64}-[a-z]+\.jpg")]
    for shelf, name in shelves:
        for path in shelf.glob("*/*"):
            if path.is_file() and (re.fullmatch(name, path.name) or path.name.startswith(ARRIVING)):
                yield path, (path.parent.name, path.name[:64])


def _write(target: Path, data: bytes) -> None:
    """Write beside the target, force it to disk, then give it its name in one step."""
    make_folder(target.parent)
    handle, temporary = tempfile.mkstemp(prefix=ARRIVING, dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.rename(temporary, target)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
    force(target.parent)


def make_folder(folder: Path) -> None:
    """Make a folder so that it is still there after a power cut."""
    if not folder.is_dir():
        folder.mkdir(parents=True, exist_ok=True)
        force(folder.parent)


def force(folder: Path) -> None:
    """Force the names in a folder to disk."""
    # A new name is in its folder only for good once the folder is on disk as well.
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

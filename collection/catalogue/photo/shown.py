"""Find the picture to show, and make it again from the original if it is gone."""

from pathlib import Path

from .accept import accept
from .derive import derivatives
from .keep import derived_path, keep_derived, read_original


def shown(root: Path, book: str, sha256: str, size: str) -> Path:
    """Return the file to show in `size` ('thumb' or 'page'); rebuild all sizes if it is missing.

    Raises FileNotFoundError if the original is gone too, PhotoDamaged if it has changed.
    """
    path = derived_path(root, book, sha256, size)
    if not path.is_file():
        data = read_original(root, book, sha256)
        keep_derived(root, book, sha256, derivatives(data, accept(data)))
    return path

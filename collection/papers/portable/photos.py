"""Original photos out of a carried collection, onto the disk."""

import hashlib
import os
import tempfile
from pathlib import Path

from django.conf import settings

from collection.catalogue.photo.keep import ARRIVING, force, make_folder, original_path
from collection.papers.portable.layout import CHUNK, NotCarried
from collection.papers.portable.reading import Carried


def unpack(carried: Carried) -> int:
    """Put every photo where its hash says, part by part; how many there are."""
    for sha256 in carried.photos:
        target = original_path(settings.PHOTOS, carried.book, sha256)
        if not target.exists():
            _unpack(carried, sha256, target)
    return len(carried.photos)


def _unpack(carried: Carried, sha256: str, target: Path) -> None:
    make_folder(target.parent)
    handle, temporary = tempfile.mkstemp(prefix=ARRIVING, dir=target.parent)
    digest = hashlib.sha256()
    try:
        with os.fdopen(handle, "wb") as file, carried.open(f"photos/{sha256}") as packed:
            while part := packed.read(CHUNK):
                file.write(part)
                digest.update(part)
            file.flush()
            os.fsync(file.fileno())
        if digest.hexdigest() != sha256:
            raise NotCarried(f"photos/{sha256} has other bytes than its name says")
        os.rename(temporary, target)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
    force(target.parent)

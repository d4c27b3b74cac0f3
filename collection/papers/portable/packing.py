"""Writing a collection into one file, without ever holding much of it in memory."""

import hashlib
import json
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import IO, Any

from django.conf import settings
from django.db import connection, transaction
from django.db.migrations.loader import MigrationLoader

from collection.catalogue.photo.keep import original_path
from collection.catalogue.queries import kept_originals
from collection.ledger import proof, rows
from collection.ledger.leaf import content
from collection.ledger.models import Event
from collection.papers.portable import layout, tables
from registry.access.models import Collection
from registry.access.queries import members_of

ROWS = 500  # read from the database at once


@dataclass
class Packed:
    """What has been written so far."""

    files: list[dict[str, Any]] = field(default_factory=list)
    photos: list[dict[str, Any]] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)


class Packer:
    """A zip file that is written from front to back, and what went into it."""

    def __init__(self, sink: IO[bytes], now: datetime) -> None:
        self.zip = zipfile.ZipFile(sink, "w")
        self.date = now.timetuple()[:6]
        self.packed = Packed()

    @contextmanager
    def member(self, name: str, *, squeezed: bool = True) -> Iterator["Counted"]:
        """One file of the zip, counted and hashed while it is written."""
        info = zipfile.ZipInfo(name, self.date)
        info.compress_type = zipfile.ZIP_DEFLATED if squeezed else zipfile.ZIP_STORED
        info.external_attr = 0o644 << 16
        with self.zip.open(info, "w", force_zip64=True) as file:
            yield Counted(file)

    def lines(self, name: str, found: Iterator[Any]) -> None:
        """A file of one JSON object a line."""
        count = 0
        with self.member(name) as file:
            for count, one in enumerate(found, start=1):  # noqa: B007
                file.write(_line(one))
        self.packed.files.append({"name": name, "rows": count, **file.told()})


@dataclass
class Counted:
    """A file being written, with its size and hash so far."""

    file: IO[bytes]
    size: int = 0
    digest: Any = field(default_factory=hashlib.sha256)

    def write(self, data: bytes) -> None:
        """Write on."""
        self.file.write(data)
        self.digest.update(data)
        self.size += len(data)

    def told(self) -> dict[str, Any]:
        """Bytes and SHA-256, for the manifest."""
        return {"bytes": self.size, "sha256": self.digest.hexdigest()}


def _line(said: Any) -> bytes:
    return json.dumps(said, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def pack(
    collection: Collection,
    sink: IO[bytes],
    *,
    now: datetime,
    by: str,
    with_addresses: bool = False,
    without_lost: bool = False,
) -> Iterator[str]:
    """Write the file; yields the name of each part once it is written.

    Rows are read in one transaction with the book locked, so they fit each other; photos never
    change and come after it. Raises NotCarried for a photo that is gone or changed, unless
    `without_lost`, which names it in the manifest instead.
    """
    packer = Packer(sink, now)
    with packer.zip:
        with packer.member(layout.README) as file:
            file.write(layout.TEXT.encode())
        packer.packed.files.append({"name": layout.README, "rows": None, **file.told()})
        with _standing_still(collection):
            size, root = proof.root_of(collection)
            photos = list(_photos(collection))
            yield from _pack_rows(packer, collection, with_addresses=with_addresses)
        for sha256 in photos:
            _pack_photo(packer, collection, sha256, without_lost=without_lost)
            yield f"photos/{sha256}"
        head = {"size": size, "root": root}
        with packer.member(layout.MANIFEST) as file:
            file.write(_manifest(packer.packed, collection, head, now=now, by=by))
        yield layout.MANIFEST


@contextmanager
def _standing_still(collection: Collection) -> Iterator[None]:
    outermost = not connection.in_atomic_block
    with transaction.atomic():
        if outermost and connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        rows.locked_head(collection)
        yield


def _pack_rows(packer: Packer, collection: Collection, *, with_addresses: bool) -> Iterator[str]:
    packer.lines(layout.BOOK, _entries(collection))
    yield layout.BOOK
    packer.lines(layout.MEMBERS, _members(collection, with_addresses))
    yield layout.MEMBERS
    for model in tables.carried():
        name = layout.table_file(tables.name_of(model))
        found = tables.rows_of(model, collection).iterator(chunk_size=ROWS)
        packer.lines(name, (tables.as_json(row) for row in found))
        yield name


def _entries(collection: Collection) -> Iterator[dict[str, Any]]:
    found = Event.objects.of(collection).select_related("subject").order_by("sequence")
    for event in found.iterator(chunk_size=ROWS):
        yield {
            "entry": event.sequence,
            "leaf": event.leaf,
            "content": content(event, collection, event.subject.code),
            "words": event.words,
            "source_note": event.source_note,
            "words_salt": event.words_salt,
        }


def _members(collection: Collection, with_addresses: bool) -> Iterator[dict[str, Any]]:
    for member in members_of(collection):
        told = {
            "code": member.code,
            "name": member.name,
            "role": member.role,
            "joined_at": member.joined_at.isoformat(),
            "ended_at": member.ended_at.isoformat() if member.ended_at else None,
        }
        yield told | ({"email": member.person.email} if with_addresses else {})


def _photos(collection: Collection) -> list[str]:
    found = kept_originals(collection).order_by("pk").values_list("sha256", flat=True)
    return list(dict.fromkeys(found))


def _pack_photo(packer: Packer, collection: Collection, sha256: str, *, without_lost: bool) -> None:
    path = original_path(settings.PHOTOS, collection.book, sha256)
    if not _whole(path, sha256):
        if not without_lost:
            raise layout.NotCarried(
                f"The photo {sha256} is gone or has changed; restore {path} from a backup first."
            )
        packer.packed.left_out.append(sha256)
        return
    with packer.member(f"photos/{sha256}", squeezed=False) as file, path.open("rb") as kept:
        while part := kept.read(layout.CHUNK):
            file.write(part)
    packer.packed.photos.append(file.told())


def lost_photos(collection: Collection) -> list[str]:
    """SHA-256 of photos whose file is not there; a changed one is found when it is read."""
    root, book = settings.PHOTOS, collection.book
    found = _photos(collection)
    return [sha256 for sha256 in found if not original_path(root, book, sha256).is_file()]


def _whole(path: Path, sha256: str) -> bool:
    try:
        with path.open("rb") as kept:
            return hashlib.file_digest(kept, "sha256").hexdigest() == sha256
    except OSError:
        return False


def _manifest(
    packed: Packed, collection: Collection, head: dict[str, Any], *, now: datetime, by: str
) -> bytes:
    said = {
        "purpose": layout.PURPOSE,
        "version": layout.VERSION,
        "made_at": now.isoformat(),
        "made_by": by,
        "schema": schema(),
        "collection": tables.as_json(collection),
        "book": head,
        "files": packed.files,
        "photos": packed.photos,
        "photos_left_out": packed.left_out,
    }
    return json.dumps(said, ensure_ascii=False, indent=1).encode()


def schema() -> str:
    """The newest change of tables that this version knows."""
    leaves = MigrationLoader(None, ignore_no_migrations=True).graph.leaf_nodes("collection")
    return leaves[0][1]

"""Opening a carried collection: nothing of it is believed before every hash has been checked."""

import hashlib
import json
import os
import shutil
import stat
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from collection.core import canonical, merkle
from collection.ledger.leaf import words_text
from collection.papers.portable import layout
from collection.papers.portable.layout import NotCarried

SQUEEZED_MOST = 200  # times smaller than its contents: rows of text stay well below (house rule)
UNASKED = 2**20  # bytes that may be squeezed as hard as they like
ENCRYPTED = 0x1
BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError, RuntimeError)


@dataclass(frozen=True)
class Carried:
    """An open file whose inner names are safe and are the ones its manifest lists."""

    zip: zipfile.ZipFile
    manifest: dict[str, Any]

    @property
    def book(self) -> str:
        """The book's own random name."""
        return str(self.manifest["collection"]["book"])

    @property
    def tables(self) -> dict[str, dict[str, Any]]:
        """What the manifest says of every table, by name."""
        found = (one for one in self.manifest["files"] if one["name"].startswith("tables/"))
        return {Path(one["name"]).stem: one for one in found}

    @property
    def photos(self) -> list[str]:
        """SHA-256 of every photo that is here."""
        return [one["sha256"] for one in self.manifest["photos"]]

    def lines(self, name: str) -> Iterator[tuple[int, dict[str, Any]]]:
        """(line number, object) of a file of lines."""
        with self.open(name) as file:
            number = 0
            while line := file.readline(layout.LONGEST_LINE):
                number += 1
                yield number, _object(line, f"{name}, line {number}")

    @contextmanager
    def open(self, name: str) -> Iterator[IO[bytes]]:
        """A file inside; what cannot be read is said with its name."""
        try:
            with self.zip.open(name) as file:
                yield file
        except BROKEN as error:
            raise NotCarried(f"{name} cannot be read: {error}") from error


@contextmanager
def opened(path: Path) -> Iterator[Carried]:
    """A carried collection; raises NotCarried for whatever may not be opened."""
    try:
        with zipfile.ZipFile(path) as packed:
            _refuse_unsafe(packed, path)
            carried = Carried(packed, _manifest(packed))
            _refuse_other_names(carried)
            yield carried
    except zipfile.BadZipFile as error:
        raise NotCarried(f"{path.name} is no zip file, or its end is missing: {error}") from error
    except FileNotFoundError as error:
        raise NotCarried(f"There is no file {path}.") from error


def _refuse_unsafe(packed: zipfile.ZipFile, path: Path) -> None:
    found = packed.infolist()
    names = [info.filename for info in found]
    for info in found:
        if not layout.NAMES.fullmatch(info.filename):
            raise NotCarried(f"{info.filename!r:.80} is no name of a file in a carried collection")
        if info.flag_bits & ENCRYPTED or stat.S_ISLNK(info.external_attr >> 16):
            raise NotCarried(f"{info.filename} is encrypted or a link")
        if info.file_size > UNASKED + SQUEEZED_MOST * info.compress_size:
            raise NotCarried(f"{info.filename} would unpack to {info.file_size} bytes: too many")
    if twice := {name for name in names if names.count(name) > 1} if _repeat(names) else set():
        raise NotCarried(f"{min(twice)} is there twice")
    if sum(info.compress_size for info in found) > os.path.getsize(path):
        raise NotCarried("Files inside overlap: it would unpack to more than it holds")
    whole = sum(info.file_size for info in found)
    if whole > shutil.disk_usage(path.parent).free:
        raise NotCarried(f"It unpacks to {whole} bytes; there is no room for them here")


def _repeat(names: list[str]) -> bool:
    return len(set(names)) < len(names)


def _manifest(packed: zipfile.ZipFile) -> dict[str, Any]:
    try:
        with packed.open(layout.MANIFEST) as file:
            data = file.read(layout.LARGEST_MANIFEST + 1)
    except KeyError as error:
        raise NotCarried("There is no manifest.json: the file was never finished") from error
    except BROKEN as error:
        raise NotCarried(f"manifest.json cannot be read: {error}") from error
    said = _object(data, layout.MANIFEST)
    if said.get("purpose") != layout.PURPOSE or said.get("version") != layout.VERSION:
        raise NotCarried(
            f"It is {said.get('purpose')!r:.40}, version {said.get('version')!r:.20}; "
            f"this site takes {layout.PURPOSE}, version {layout.VERSION}"
        )
    if not _well_formed(said):
        raise NotCarried("manifest.json lacks something, or says it in another form")
    return said


def _well_formed(said: dict[str, Any]) -> bool:
    try:
        texts = [said["collection"][n] for n in ("name", "slug", "zone", "currency", "book")]
        texts += [one[n] for one in said["files"] for n in ("name", "sha256")]
        texts += [one["sha256"] for one in said["photos"]]
        counts = [one["bytes"] for one in (*said["files"], *said["photos"])]
        counts += [one["rows"] for one in said["files"] if one["name"].startswith("tables/")]
        size, root = said["book"]["size"], said["book"]["root"]
    except (KeyError, TypeError, AttributeError):
        return False
    numbers = [*counts, size]
    return all(isinstance(text, str) for text in [*texts, root]) and all(
        type(number) is int and number >= 0 for number in numbers
    )


def _refuse_other_names(carried: Carried) -> None:
    listed = {one["name"] for one in carried.manifest["files"]}
    listed |= {f"photos/{sha256}" for sha256 in carried.photos} | {layout.MANIFEST}
    there = set(carried.zip.namelist())
    if missing := sorted(listed - there):
        raise NotCarried(f"{missing[0]} is listed in the manifest and is not there")
    if extra := sorted(there - listed):
        raise NotCarried(f"{extra[0]} is there and the manifest does not list it")


def _object(data: bytes, where: str) -> dict[str, Any]:
    try:
        said = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise NotCarried(f"{where}: this is no JSON") from error
    if not isinstance(said, dict):
        raise NotCarried(f"{where}: this is no JSON object")
    return said


# -- checked ---------------------------------------------------------------------------------
def check(carried: Carried) -> None:
    """Every hash of every file, and every leaf of the book to its root; raises NotCarried."""
    for one in carried.manifest["files"]:
        _check_file(carried, one["name"], one)
    for one in carried.manifest["photos"]:
        _check_file(carried, f"photos/{one['sha256']}", one)
    _check_book(carried)


def _check_file(carried: Carried, name: str, said: dict[str, Any]) -> None:
    digest, size = hashlib.sha256(), 0
    with carried.open(name) as file:
        while part := file.read(layout.CHUNK):
            digest.update(part)
            size += len(part)
            if size > said["bytes"]:
                break
    if size != said["bytes"]:
        raise NotCarried(f"{name} has not the {said['bytes']} bytes that the manifest says")
    if digest.hexdigest() != said["sha256"]:
        raise NotCarried(f"{name} is damaged: its SHA-256 is not the one in the manifest")


def _check_book(carried: Carried) -> None:
    frontier: tuple[bytes, ...] = ()
    number = -1
    for number, (_, entry) in enumerate(carried.lines(layout.BOOK)):
        if reason := _misfit(entry, number, carried.book):
            raise NotCarried(f"book.jsonl, entry {number}: {reason}")
        frontier = merkle.append(frontier, bytes.fromhex(entry["leaf"]))
    head, size = carried.manifest["book"], number + 1
    if size != head["size"]:
        raise NotCarried(f"book.jsonl has {size} entries, the manifest says {head['size']}")
    if merkle.frontier_root(frontier).hex() != head["root"]:
        raise NotCarried("The entries do not lead to the root in the manifest")


def _misfit(entry: dict[str, Any], number: int, book: str) -> str:
    said = entry.get("content")
    try:
        made = merkle.leaf_hash(canonical.leaf_content(said)).hex()
        if made != entry["leaf"]:
            return "what it says does not fit its leaf"
        if (said["entry"], said["book"], entry["entry"]) != (number, book, number):
            return "it stands in another place, or in another book"
        text = words_text(entry["words"], entry["source_note"])
        kept = canonical.words_hash(entry["words_salt"], text) if text else None
    except (KeyError, TypeError, ValueError) as error:
        return f"it cannot be read ({error})"
    if text and kept != said["words_hash"]:
        return "its words are not the ones that were written"
    return ""

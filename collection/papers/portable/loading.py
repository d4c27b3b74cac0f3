"""Taking a carried collection in: one transaction, and the same root at its end or nothing."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.core.management.color import no_style
from django.db import DatabaseError, connection, models, transaction
from django.db.models import Max
from django.utils.dateparse import parse_datetime

from collection.core import merkle
from collection.core.events import KINDS
from collection.core.partial_date import PartialDate
from collection.ledger import derived, proof, rows
from collection.ledger.models import Event, Head, Subject
from collection.papers.portable import layout, photos, reading, tables
from collection.papers.portable.layout import NotCarried
from collection.papers.portable.reading import Carried
from registry.access.actions import add_person, join, open_collection
from registry.access.models import Collection, Membership
from registry.access.queries import collection_at, collection_of_book, person_named

AT_ONCE = 500
LONGEST_CODE = Event._meta.get_field("recorded_by").max_length or 0
T = TypeVar("T")


@dataclass(frozen=True)
class TakenIn:
    """What has been taken in, and that it led to the root it left with."""

    collection: Collection
    entries: int
    root: str
    rows: int
    photos: int
    photos_left_out: tuple[str, ...] = ()


def take_in(carried: Carried, *, address: str = "") -> TakenIn:
    """Take in a checked file; `address` is another slug where its own is taken.

    Photos are put on disk first, since a row never speaks of a file that is not there; files that
    no row comes to speak of are removed by `manage.py tidy`. Raises NotCarried, and then no row
    has been written.
    """
    said = carried.manifest["collection"]
    slug = address or said["slug"]
    _refuse_known(carried.book, slug)
    reading.check(carried)
    kept = photos.unpack(carried)
    try:
        with transaction.atomic():
            collection = _collection(said, slug)
            count = _rows(carried, collection)
            connection.check_constraints()
            verdict = _proved(carried, collection)
    except NotCarried:
        raise
    except (DatabaseError, ValidationError, ValueError, TypeError, KeyError) as error:
        # Whoever writes the file anew can make every hash fit, so anything may stand in it.
        raise NotCarried(f"Its rows do not fit together: {error}") from error
    left_out = tuple(carried.manifest.get("photos_left_out", ()))
    return TakenIn(collection, verdict.size, verdict.root, count, kept, left_out)


def _refuse_known(book: str, slug: str) -> None:
    if (here := collection_of_book(book)) is not None:
        raise NotCarried(f"This collection is here already, as {here.slug}; nothing was touched.")
    if collection_at(slug) is not None:
        raise NotCarried(f"Another collection has the address {slug}; choose one with --address.")


def _collection(said: dict[str, Any], slug: str) -> Collection:
    collection = open_collection(name=said["name"], slug=slug, zone=said["zone"])
    for field in tables.columns(Collection):
        if field.name in said and field.name != "slug":
            setattr(collection, field.name, field.to_python(said[field.name]))
    collection.full_clean()
    collection.save()
    return collection


def _moment(text: Any) -> datetime | None:
    return parse_datetime(text) if isinstance(text, str) else None


def _rows(carried: Carried, collection: Collection) -> int:
    """Members, rows of every table, the book, and what is made from it; how many rows."""
    for number, one in carried.lines(layout.MEMBERS):
        _member(collection, one, f"{layout.MEMBERS}, line {number}")
    known = {tables.name_of(model): model for model in tables.carried()}
    if strange := sorted(carried.tables.keys() - known.keys()):
        raise NotCarried(f"Nobody here knows the table {strange[0]}: it is of a newer version.")
    moved = _moved(tuple(known.values()))
    count = sum(
        _table(carried, model, collection, moved)
        for name, model in known.items()
        if name in carried.tables
    )
    _book(carried, collection)
    derived.rebuild(collection)
    _counters_again(tuple(known.values()))
    return count


def _member(collection: Collection, said: dict[str, Any], where: str) -> None:
    """A member again, under the same code; they sign in by a link that has yet to be made."""
    try:
        username = _free(said["code"])
        person = add_person(username=username, name=said["name"], email=said.get("email", ""))
        member = join(collection, person, role=said["role"], code=said["code"], name=said["name"])
    except (KeyError, TypeError, ValidationError) as error:
        raise NotCarried(f"{where}: {error}") from error
    Membership.objects.of(collection).filter(pk=member.pk).update(
        joined_at=_moment(said.get("joined_at")) or member.joined_at,
        ended_at=_moment(said.get("ended_at")),
    )


def _free(code: str) -> str:
    """A sign-in name that nobody has: who is here already gains nothing by a file."""
    names = (code, *(f"{code[:28]}-{number}" for number in range(2, 1000)))
    return next(name for name in names if person_named(name) is None)


def _moved(models_known: tuple[type[models.Model], ...]) -> dict[str, int]:
    """What is added to the keys of each table: its highest key, so that nought on an empty site."""
    return {
        tables.name_of(model): model._base_manager.aggregate(Max("pk"))["pk__max"] or 0
        for model in tables.keys_from(models_known)
    }


def _table(
    carried: Carried, model: type[models.Model], collection: Collection, moved: dict[str, int]
) -> int:
    name, count = layout.table_file(tables.name_of(model)), 0
    for part in _parts(carried.lines(name)):
        model._base_manager.bulk_create(
            [_row(model, said, collection, moved, f"{name}, line {n}") for n, said in part]
        )
        count += len(part)
    if count != carried.tables[tables.name_of(model)]["rows"]:
        raise NotCarried(f"{name} has {count} rows, not as many as the manifest says")
    return count


def _row(
    model: type[models.Model],
    said: dict[str, Any],
    collection: Collection,
    moved: dict[str, int],
    where: str,
) -> models.Model:
    try:
        return tables.from_json(model, said, collection, moved)
    except NotCarried as error:
        raise NotCarried(f"{where}: {error}") from error


def _parts(found: Iterator[T]) -> Iterator[list[T]]:
    while part := list(islice(found, AT_ONCE)):
        yield part


# -- the book --------------------------------------------------------------------------------
def _book(carried: Carried, collection: Collection) -> None:
    ids = dict(Subject.objects.of(collection).values_list("code", "pk"))
    frontier: tuple[bytes, ...] = ()
    for part in _parts(carried.lines(layout.BOOK)):
        found = [_event(said, collection, ids) for _, said in part]
        rows.insert(found)
        for event in found:
            frontier = merkle.append(frontier, bytes.fromhex(event.leaf))
    kept = [node.hex() for node in frontier]
    Head.objects.create(collection=collection, size=merkle.frontier_size(frontier), frontier=kept)


def _misfit(entry: dict[str, Any], ids: dict[str, int]) -> str:
    """What no book says of an entry, although its hashes may fit; '' for nothing."""
    if not isinstance(entry["subject"], str) or entry["subject"] not in ids:
        return f"no code {entry['subject']!r:.50}"
    if not isinstance(entry["kind"], str) or entry["kind"] not in KINDS:
        return f"nobody here knows the kind {entry['kind']!r:.50}"
    if entry["facts_version"] > KINDS[entry["kind"]].version:
        return f"its facts of '{entry['kind']}' are of a newer version"
    for name in ("corrects", "answers"):
        if entry[name] is not None and entry[name] not in range(entry["entry"]):
            return f"'{name}' is {entry[name]!r:.50}, no entry before it"
    if not isinstance(entry["recorded_by"], str) or len(entry["recorded_by"]) > LONGEST_CODE:
        return f"'recorded_by' is {entry['recorded_by']!r:.50}, no member"
    return ""


def _event(said: dict[str, Any], collection: Collection, ids: dict[str, int]) -> Event:
    entry = said["content"]
    if reason := _misfit(entry, ids):
        raise NotCarried(f"book.jsonl, entry {entry['entry']}: {reason}")
    happened = entry["happened"] or ""
    when = PartialDate.parse(happened) if happened else None
    as_said = ("act", "once", "names", "kind", "facts", "facts_version", "recorded_by", "source")
    return Event(
        collection=collection,
        sequence=entry["entry"],
        subject_id=ids[entry["subject"]],
        happened=happened,
        earliest=when.earliest if when else None,
        latest=when.latest if when else None,
        recorded_at=_moment(entry["recorded_at"]),
        written_at=_moment(entry["written_at"]),
        certainty=entry["certainty"],
        corrects=entry["corrects"],
        answers=entry["answers"],
        words=said["words"],
        source_note=said["source_note"],
        words_salt=said["words_salt"],
        words_hash=entry["words_hash"] or "",
        salt=entry["salt"],
        leaf=said["leaf"],
        **{name: entry[name] for name in as_said},
    )


def _proved(carried: Carried, collection: Collection) -> proof.Verdict:
    verdict = proof.verify(collection)
    if verdict.misfits:
        first = verdict.misfits[0]
        raise NotCarried(f"Taken in, the book does not fit: entry {first.entry}: {first.reason}")
    if verdict.root != carried.manifest["book"]["root"]:
        raise NotCarried("Taken in, the book leads to another root")
    return verdict


def _counters_again(models_known: tuple[type[models.Model], ...]) -> None:
    """Rows came with their keys: PostgreSQL's counters have not moved and would give them twice."""
    counted = list(tables.keys_from(models_known))
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), counted):
            cursor.execute(statement)

"""The bytes that an entry's leaf is made of; nothing else in the code makes them."""

import json
from datetime import UTC, datetime
from typing import Any

from collection.core import canonical, merkle
from collection.core.entry import Entry
from collection.ledger.models import Event
from registry.access.models import Collection

PURPOSE = "registry/entry"
VERSION = 1


def utc_text(moment: datetime | None) -> str | None:
    """An instant as the leaf writes it: UTC, always six decimals, Z."""
    if moment is None:
        return None
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%f") + "Z"


def words_text(words: str, source_note: str) -> str:
    """The erasable text of an entry in one piece, empty when there is none."""
    return json.dumps([words, source_note], ensure_ascii=False) if words or source_note else ""


def content(event: Event, collection: Collection, subject: str) -> dict[str, Any]:
    """What the leaf of an entry covers: no row ids, no derived dates, no people's names."""
    return {
        "purpose": PURPOSE,
        "version": VERSION,
        "book": collection.book,
        "entry": event.sequence,
        "act": event.act,
        "once": event.once,
        "subject": subject,
        "names": event.names,
        "kind": event.kind,
        "facts_version": event.facts_version,
        "facts": event.facts,
        "happened": event.happened or None,
        "recorded_at": utc_text(event.recorded_at),
        "written_at": utc_text(event.written_at),
        "recorded_by": event.recorded_by,
        "source": event.source,
        "certainty": event.certainty,
        "corrects": event.corrects,
        "answers": event.answers,
        "words_hash": event.words_hash or None,
        "salt": event.salt,
    }


def leaf_of(event: Event, collection: Collection, subject: str) -> bytes:
    """The leaf hash made from an entry's contents."""
    return merkle.leaf_hash(canonical.leaf_content(content(event, collection, subject)))


def hash_words(event: Event) -> str:
    """The hash that stands for an entry's words, '' when it never had any."""
    text = words_text(event.words, event.source_note)
    return canonical.words_hash(event.words_salt, text) if text else ""


def to_entry(event: Event, subject: str) -> Entry:
    """The entry as the core sees it."""
    return Entry(
        number=event.sequence,
        kind=event.kind,
        subject=subject,
        facts=event.facts,
        happened=event.happened,
        recorded_at=event.recorded_at,
        recorded_by=event.recorded_by,
        source=event.source,
        certainty=event.certainty,
        names=event.names,
        corrects=event.corrects,
        answers=event.answers,
        words=event.words,
        facts_version=event.facts_version,
    )

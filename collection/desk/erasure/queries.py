"""Where a person or firm stands: words that can be taken out, facts and rows that say them too."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db import models

from collection.core.fold_text import folded
from collection.custody.models import Party
from collection.desk.post.models import Letter
from collection.ledger.models import Event, Mention
from collection.papers.models import PaperMade
from collection.papers.portable import tables
from registry.access.models import ShareLink

TEXTS = (models.CharField, models.TextField, models.JSONField)
# Rows that say for whom something was made; nobody can change them by hand, so they are erased too.
BESIDE: tuple[tuple[type[models.Model], tuple[str, ...]], ...] = (
    (Letter, ("subject", "body")),
    (ShareLink, ("label",)),
    (PaperMade, ("for_whom",)),
)
SHORTEST = 3  # letters; a shorter name would be found in every word


@dataclass(frozen=True)
class Said:
    """An entry that has words; `named` where the words name the person themselves."""

    event: Event
    named: bool


@dataclass(frozen=True)
class Standing:
    """Everything found of a person, from what is kept of them."""

    words: tuple[Said, ...]
    facts: tuple[int, ...]  # numbers of entries whose facts name them: a leaf covers facts
    rows: tuple[tuple[str, int], ...]  # (table, rows) that name them elsewhere


def standing_of(party: Party) -> Standing:
    """Search everything of the collection; reads all entries once, so only for this page."""
    wanted = _wanted(party)
    mentioned = set(Mention.objects.filter(subject=party.subject).values_list("entry", flat=True))
    words, facts = [], []
    entries = Event.objects.of(party.collection).select_related("subject").order_by("sequence")
    for event in entries.iterator(chunk_size=1000):
        said = _names(f"{event.words} {event.source_note}", wanted)
        if said or (event.pk in mentioned and (event.words or event.source_note)):
            words.append(Said(event, said))
        if _names(_flat(event.facts), wanted):
            facts.append(event.sequence)
    return Standing(tuple(words), tuple(facts), tuple(_rows(party, wanted)))


def beside(party: Party) -> Iterator[tuple[models.Model, tuple[str, ...]]]:
    """Letters, links and papers made that name them, each with the columns that do."""
    wanted = _wanted(party)
    for model, columns in BESIDE:
        rows = model._base_manager.filter(collection=party.collection).only("pk", *columns)
        for row in rows.iterator(chunk_size=1000):
            if _names(" ".join(getattr(row, column) for column in columns), wanted):
                yield row, columns


def _wanted(party: Party) -> list[str]:
    said = [folded(text) for text in (party.name, party.phone, party.email) if text]
    return [text for text in said if len(text) >= SHORTEST]


def _names(text: str, wanted: list[str]) -> bool:
    plain = folded(text)
    return any(one in plain for one in wanted)


def _flat(value: object) -> str:
    if isinstance(value, dict):
        return " ".join(_flat(one) for pair in value.items() for one in pair)
    if isinstance(value, list):
        return " ".join(_flat(one) for one in value)
    return value if isinstance(value, str) else ""


def _rows(party: Party, wanted: list[str]) -> Iterator[tuple[str, int]]:
    by_itself = {model for model, _ in BESIDE}
    for model in tables.carried():
        if model in by_itself:
            continue
        columns = [f.attname for f in model._meta.concrete_fields if isinstance(f, TEXTS)]
        if not columns:
            continue
        rows = tables.rows_of(model, party.collection)
        if model is Party:
            rows = rows.exclude(pk=party.pk)
        found = rows.values_list(*columns).iterator(chunk_size=1000)
        count = sum(_names(" ".join(_flat(value) for value in row), wanted) for row in found)
        if count:
            yield str(model._meta.verbose_name), count

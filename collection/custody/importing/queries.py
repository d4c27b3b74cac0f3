"""Reading for an import: what the collection holds already, and what a run would do."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from collection.catalogue.models import Circuit, Design, ImportRun, Maker, Piece
from collection.catalogue.spreadsheet.cells import folded_words
from collection.catalogue.spreadsheet.identity import identity
from collection.catalogue.spreadsheet.plan import ImportPlan, plan
from collection.catalogue.spreadsheet.reading import Table, read_table
from collection.custody.importing.mending import without_reasons
from collection.custody.importing.whereabouts import key_of
from collection.custody.models import Party, Place
from collection.ledger.models import Subject
from registry.access.models import Collection

DesignKey = tuple[int | None, str]


def runs(collection: Collection) -> QuerySet[ImportRun]:
    """Imports of a collection, the newest first, without the bytes of their files."""
    return ImportRun.objects.of(collection).defer("data")


def taken_codes(collection: Collection) -> dict[str, str]:
    """Every code of the collection with what it holds, as the plan wants it; two queries."""
    held = dict.fromkeys(Subject.objects.of(collection).values_list("code", flat=True), "")
    rows = Piece.objects.of(collection).values_list(
        "code", "imported_as", "kind", "maker__name", "design__name", "serial"
    )
    for code, mark, kind, maker, design, serial in rows:
        same = identity(kind=kind, maker=maker or "", design=design or "", serial=serial)
        held[code] = f"{mark}\n{same}"
    return held


def table_of(run: ImportRun) -> Table:
    """The table in a run's file, without the reasons that an earlier run wrote into it."""
    return without_reasons(read_table(bytes(run.data), name=run.file_name))


def mapping_of(run: ImportRun) -> dict[int, str]:
    """Column index to field, as a person left it."""
    return {int(index): field for index, field in run.mapping.items()}


def plan_of(run: ImportRun, table: Table, *, today: date) -> ImportPlan:
    """What bringing in the rest of a run would do now."""
    held = taken_codes(run.collection)
    return plan(table, mapping_of(run), today=today, taken_codes=held)


@dataclass
class Known:
    """What rows may name, found by folded words; what is made on the way is added."""

    makers: dict[str, Maker]
    designs: dict[DesignKey, Design]
    circuits: dict[str, Circuit]
    places: dict[str, Place]
    parties: dict[str, Party]
    codes: set[str]


def known_in(collection: Collection) -> Known:
    """Everything a row may name that the collection has; six queries."""
    designs = Design.objects.of(collection)
    parties = Party.objects.of(collection)
    return Known(
        makers={folded_words(row.name): row for row in Maker.objects.of(collection)},
        designs={(row.maker_id, folded_words(row.name)): row for row in designs},
        circuits={folded_words(row.name): row for row in Circuit.objects.of(collection)},
        places=_places(collection),
        parties={folded_words(row.name): row for row in parties},
        codes=set(Subject.objects.of(collection).values_list("code", flat=True)),
    )


def _places(collection: Collection) -> dict[str, Place]:
    """Places by code, by name, and by the name of what they are inside with their own."""
    found: dict[str, Place] = {}
    named: dict[str, list[Place]] = defaultdict(list)
    for place in Place.objects.of(collection).select_related("inside"):
        found[key_of(place.code.replace("-", " "))] = place
        named[key_of(place.name)].append(place)
        if place.inside:
            named[key_of(f"{place.inside.name} {place.name}")].append(place)
    # Two bays with one name: the words do not say which, so neither is meant.
    found.update((key, rows[0]) for key, rows in named.items() if len(set(rows)) == 1)
    return found

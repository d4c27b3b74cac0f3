"""Reading for an import: what the collection holds already, and what a run would do."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from collection.catalogue.models import Circuit, Design, ImportRun, Maker, Piece
from collection.catalogue.spreadsheet.cells import folded_words
from collection.catalogue.spreadsheet.identity import identity
from collection.catalogue.spreadsheet.plan import ImportPlan, PlannedPiece, plan
from collection.catalogue.spreadsheet.reading import Table, read_table
from collection.custody.importing.mending import mended_file, without_reasons
from collection.custody.importing.whereabouts import key_of, place_spellings, place_words
from collection.custody.models import Party, Place
from collection.ledger.lines import in_short
from collection.ledger.models import Subject
from registry.access.models import Collection

SHOWN = 20  # pieces of a preview
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


@dataclass(frozen=True)
class Line:
    """A piece of the preview with the place it would be put at."""

    piece: PlannedPiece
    place: str

    @property
    def built(self) -> str:
        """The year as people say it."""
        return in_short(self.piece.year) if self.piece.year else ""

    @property
    def checked(self) -> str:
        """When it was last checked, as people say it."""
        return in_short(self.piece.checked) if self.piece.checked else ""


@dataclass(frozen=True)
class Preview:
    """What a run would do, for a page: the first pieces, and what would be made on the way."""

    plan: ImportPlan
    lines: tuple[Line, ...]
    new_places: tuple[str, ...]
    new_parties: tuple[str, ...]
    tagged: tuple[PlannedPiece, ...]
    without_currency: int


def preview_of(run: ImportRun, plan: ImportPlan) -> Preview:
    """The preview of a plan; the same six queries whatever the number of rows."""
    known, spelt = known_in(run.collection), place_spellings(plan.pieces)
    at = {key: place.name for key, place in known.places.items()}
    names = {folded_words(name): name for row in plan.pieces for name in (row.holder, row.owner)}
    return Preview(
        plan=plan,
        lines=tuple(_line(row, spelt | at) for row in plan.pieces[:SHOWN]),
        new_places=tuple(name for key, name in spelt.items() if key not in known.places),
        new_parties=tuple(n for key, n in names.items() if key and key not in known.parties),
        tagged=tuple(row for row in plan.pieces if row.tag_out),
        without_currency=sum(row.value_minor is not None and not row.currency
                             for row in plan.pieces),
    )  # fmt: skip


def _line(row: PlannedPiece, places: Mapping[str, str]) -> Line:
    words = place_words(row)
    return Line(row, places.get(key_of(words), words))


def refused_rows(run: ImportRun) -> bytes:
    """The refused rows of a closed run as a file to mend."""
    rows = run.result.get("refused_rows", [])
    said = ((f"row {row['row']}: {row['reason']}", row.get("cells", [])) for row in rows)
    return mended_file(run.result.get("headings", []), said)

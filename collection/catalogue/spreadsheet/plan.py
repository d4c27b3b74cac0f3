"""Plan an import: what each row would become, before anything is stored."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from collection.catalogue.spreadsheet.cells import CONTROL, folded_words
from collection.catalogue.spreadsheet.columns import FIELDS
from collection.catalogue.spreadsheet.identity import fingerprint, identity, is_same_piece
from collection.catalogue.spreadsheet.planned import (
    CellNotTaken,
    ImportPlan,
    PlannedPiece,
    RefusedRow,
    RowAlreadyIn,
)
from collection.catalogue.spreadsheet.remarks import remarks_on
from collection.catalogue.spreadsheet.row_reading import ReadRow, layout_of, read_row
from collection.catalogue.spreadsheet.table import Row, Table
from collection.ledger.codes import following

__all__ = ["ImportPlan", "PlannedPiece", "plan"]

# Letters of codes that are given here; the ledger keeps others for places, lots and the like.
PREFIXES = {
    "instrument": "G",
    "amplifier": "A",
    "cabinet": "C",
    "effect": "E",
    "microphone": "M",
    "other": "X",
}
CARRIED = (
    "maker",
    "design",
    "year",
    "circuit",
    "serial",
    "finish",
    "nickname",
    "place",
    "holder",
    "owner",
    "checked",
    "told",
    "value_minor",
    "currency",
    "mass_kg",
    "modifications",
    "notes",
)


def plan(
    table: Table, mapping: Mapping[int, str], *, today: date, taken_codes: Mapping[str, str]
) -> ImportPlan:
    """What importing the table would do; nothing is stored and nothing is raised for bad cells.

    `mapping` is column index → field, as `columns.propose` gives it or a person changed it.
    `taken_codes` maps every code of the collection to what it holds: lines, each a `fingerprint`
    of an imported row or an `identity`; '' for a code that means something other than a piece. A
    row without a code is known again by its fingerprint only.

    Raises:
        ValueError: a field in the mapping that does not exist.
    """
    if unknown := set(mapping.values()) - set(FIELDS):
        raise ValueError(f"Not a field of an inventory: {', '.join(sorted(unknown))}.")
    layout = layout_of(table, dict(mapping), today=today)
    planner = _Planner({code.upper(): held for code, held in taken_codes.items()})
    for row in table.rows:
        if row.is_blank:
            planner.blank_rows.append(row.number)
        else:
            planner.sort(read_row(row, layout))
    return planner.result(remarks_on(table, layout))


@dataclass
class _Claim:
    row: int
    fingerprint: str


@dataclass
class _Planner:
    """Sorts read rows, in their order, into what goes in and what does not."""

    taken: dict[str, str]
    claims: dict[str, _Claim] = field(default_factory=dict)
    seen: Counter[str] = field(default_factory=Counter)
    waiting: list[tuple[ReadRow, str]] = field(default_factory=list)
    refused_rows: list[RefusedRow] = field(default_factory=list)
    already_in: list[RowAlreadyIn] = field(default_factory=list)
    blank_rows: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.held = {line for held in self.taken.values() for line in held.split("\n")}

    def sort(self, read: ReadRow) -> None:
        """Put one row where it belongs."""
        code = read.values.get("code", "")
        mark = self._fingerprint(read.row, code)
        known, contradictions = self._known(read, code, mark)
        reasons = [*read.reasons, *contradictions]
        if reasons:
            self.refused_rows.append(RefusedRow(read.row.number, tuple(reasons), _shown(read.row)))
            return
        if code:
            self.claims.setdefault(code, _Claim(read.row.number, mark))
        if known:
            self.already_in.append(RowAlreadyIn(read.row.number, code, known))
        else:
            self.waiting.append((read, mark))

    def _fingerprint(self, row: Row, code: str) -> str:
        """Two uncoded rows with the same words are two pieces; two coded ones are the same."""
        mark = fingerprint(row.cells, occurrence=0)
        if code:
            return mark
        self.seen[mark] += 1
        return fingerprint(row.cells, occurrence=self.seen[mark] - 1)

    def _known(self, read: ReadRow, code: str, mark: str) -> tuple[str, list[str]]:
        """('why it is in already', []), ('', ['what stands against it']) or ('', [])."""
        if not code:
            return ("the collection has this row" if mark in self.held else ""), []
        known, against = "", []
        if claim := self.claims.get(code):
            if claim.fingerprint == mark:
                known = f"the same as row {claim.row}"
            else:
                against.append(
                    f"code {code} is already used in this file by another piece, in row {claim.row}"
                )
        if code in self.taken:
            if is_same_piece(self.taken[code], fingerprint=mark, identity=_identity(read)):
                known = known or f"{code} is in the collection"
            else:
                against.append(f"code {code} already names something else in the collection")
        return known, against

    def result(self, remarks: list[str]) -> ImportPlan:
        """Give codes to the pieces without one and close the plan."""
        numbers = _Numbers([*self.taken, *self.claims])
        pieces: list[PlannedPiece] = []
        cells: list[CellNotTaken] = []
        for read, mark in self.waiting:
            piece = _piece(read, numbers, mark)
            pieces.append(piece)
            cells += [CellNotTaken(piece.row, piece.code, *what) for what in read.not_taken]
        if given := sum(piece.code_was_given for piece in pieces):
            remarks.append(f"Pieces without a code that are given the next free one: {given}.")
        return ImportPlan(
            pieces=tuple(pieces),
            refused_rows=tuple(self.refused_rows),
            already_in=tuple(self.already_in),
            blank_rows=tuple(self.blank_rows),
            cells_not_taken=tuple(cells),
            remarks=tuple(remarks),
        )


@dataclass
class _Numbers:
    """The next free code of each prefix, in order, never one that is used."""

    used: list[str]
    last: dict[str, int] = field(default_factory=dict)

    def next(self, prefix: str) -> str:
        if prefix not in self.last:
            self.last[prefix] = int(following(prefix, self.used).removeprefix(f"{prefix}-")) - 1
        self.last[prefix] += 1
        return f"{prefix}-{self.last[prefix]:03d}"


def _identity(read: ReadRow) -> str:
    kind = read.values.get("kind")
    words = {part: read.values.get(part, "") for part in ("maker", "design", "serial")}
    return identity(kind=kind.kind if kind else "other", **words)


def _piece(read: ReadRow, numbers: _Numbers, mark: str) -> PlannedPiece:
    values, kind = read.values, read.values.get("kind")
    code = values.get("code", "")
    name = kind.kind if kind else "other"
    return PlannedPiece(
        row=read.row.number,
        code=code or numbers.next(PREFIXES[name]),
        code_was_given=not code,
        kind=name,
        family=kind.family if kind else "",
        kind_words=values.get("kind_words", ""),
        fingerprint=mark,
        identity=_identity(read),
        place_key=folded_words(values.get("place", "")),
        holder_key=folded_words(values.get("holder", "")),
        kept=tuple(read.kept),
        tag_out=read.tag_out,
        **{name: values[name] for name in CARRIED if name in values},
    )


def _shown(row: Row) -> str:
    """The row's text with a visible sign for what no page or database should be given."""
    return CONTROL.sub("\ufffd", row.text)

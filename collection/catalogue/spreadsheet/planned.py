"""What an import would do, row by row, before anything is stored."""

from dataclasses import dataclass
from decimal import Decimal

from collection.catalogue.spreadsheet.tag_out import ProposedTagOut
from collection.catalogue.spreadsheet.told_working import Told


@dataclass(frozen=True)
class PlannedPiece:
    """A piece as its row tells it; '' or None where the row says nothing.

    `year` and `checked` are EDTF text; `value_minor` is in the minor unit of `currency`, which is
    '' when nobody said which; `place_key` and `holder_key` are for matching names that differ in
    case, commas and spacing only. `kept` are lines for the notes: every text that found no field.
    `fingerprint` stands for the whole row, `identity` for what would make it another piece.
    """

    row: int
    code: str
    code_was_given: bool
    kind: str
    family: str
    kind_words: str
    fingerprint: str
    identity: str
    maker: str = ""
    design: str = ""
    year: str = ""
    circuit: str = ""
    serial: str = ""
    finish: str = ""
    nickname: str = ""
    place: str = ""
    place_key: str = ""
    holder: str = ""
    holder_key: str = ""
    owner: str = ""
    checked: str = ""
    told: Told | None = None
    value_minor: int | None = None
    currency: str = ""
    mass_kg: Decimal | None = None
    modifications: str = ""
    notes: str = ""
    kept: tuple[str, ...] = ()
    tag_out: ProposedTagOut | None = None

    @property
    def notes_with_kept(self) -> str:
        """The notes and below them every text that found no field."""
        return "\n".join(line for line in (self.notes, *self.kept) if line)

    @property
    def mass_grams(self) -> int | None:
        """The mass in whole grams."""
        return None if self.mass_kg is None else int(self.mass_kg * 1000)


@dataclass(frozen=True)
class RefusedRow:
    """A row that does not go in, with every reason and its text."""

    row: int
    reasons: tuple[str, ...]
    text: str

    @property
    def reason(self) -> str:
        """All reasons in one line."""
        return "; ".join(self.reasons)


@dataclass(frozen=True)
class CellNotTaken:
    """A cell whose piece goes in without it; its text is kept in the notes."""

    row: int
    code: str
    column: str
    text: str
    reason: str


@dataclass(frozen=True)
class RowAlreadyIn:
    """A row whose piece the collection, or an earlier row of the file, holds already."""

    row: int
    code: str
    reason: str


@dataclass(frozen=True)
class ImportPlan:
    """Every row of the table is in exactly one of the first four."""

    pieces: tuple[PlannedPiece, ...]
    refused_rows: tuple[RefusedRow, ...]
    already_in: tuple[RowAlreadyIn, ...]
    blank_rows: tuple[int, ...]
    cells_not_taken: tuple[CellNotTaken, ...]
    remarks: tuple[str, ...]

"""What a spreadsheet file comes down to: headings and numbered rows of text."""

from collections.abc import Iterable
from dataclasses import dataclass

MAX_BYTES = 20_000_000
MAX_ROWS = 50_000
MAX_COLUMNS = 200
MAX_CHARACTERS = 40_000_000
MAX_UNPACKED_BYTES = 200_000_000


class TableRefused(ValueError):
    """A file that cannot be read as a table; `reason` is a sentence for the visitor."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


@dataclass(frozen=True)
class Row:
    """One record: its number as a spreadsheet shows it, and its cells as text."""

    number: int
    cells: tuple[str, ...]

    @property
    def is_blank(self) -> bool:
        """No cell says anything."""
        return not any(cell.strip() for cell in self.cells)

    @property
    def text(self) -> str:
        """The row in one line, to be shown where it was refused."""
        return " | ".join(" ".join(cell.split()) for cell in self.cells).rstrip(" |")


@dataclass(frozen=True)
class Table:
    """Headings and rows; `remarks` are sentences on how the file was read."""

    name: str
    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    heading_row: int
    preface: tuple[Row, ...] = ()
    remarks: tuple[str, ...] = ()
    is_delimited: bool = True

    def label(self, index: int) -> str:
        """How a column is called in messages and in notes; never empty, never twice."""
        heading = self.headings[index] if index < len(self.headings) else ""
        if not heading:
            return f"Column {column_letters(index)}"
        if self.headings.index(heading) != index:
            return f"{heading} ({column_letters(index)})"
        return heading

    def column(self, index: int) -> list[str]:
        """Every cell of one column that says something."""
        cells = (row.cells[index].strip() for row in self.rows if index < len(row.cells))
        return [cell for cell in cells if cell]


def column_letters(index: int) -> str:
    """0 → 'A', 25 → 'Z', 26 → 'AA', as spreadsheets letter their columns."""
    letters = ""
    while index >= 0:
        index, rest = divmod(index, 26)
        letters, index = chr(65 + rest) + letters, index - 1
    return letters


def checked_rows(records: Iterable[tuple[str, ...]]) -> list[Row]:
    """Number records from 1 and hold them to the limits.

    Raises:
        TableRefused: too many rows, columns or characters.
    """
    rows: list[Row] = []
    characters = filled = 0
    for number, cells in enumerate(records, start=1):
        row = Row(number, cells)
        used = max((at for at, cell in enumerate(cells, 1) if cell.strip()), default=0)
        if used > MAX_COLUMNS:
            raise TableRefused(
                f"Row {number} has {used} columns; at most {MAX_COLUMNS} can be read."
            )
        filled += used > 0
        if filled > MAX_ROWS:
            raise TableRefused(f"The table has more than {MAX_ROWS:,} rows: please split it.")
        characters += sum(map(len, cells))
        if characters > MAX_CHARACTERS:
            raise TableRefused("The table holds more text than can be read: please split it.")
        rows.append(row)
    while rows and rows[-1].is_blank:
        rows.pop()
    return rows

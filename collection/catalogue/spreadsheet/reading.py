"""Read a spreadsheet file, whatever it is called, into headings and numbered rows of text."""

from collection.catalogue.spreadsheet import delimited, workbook
from collection.catalogue.spreadsheet.encoding import decode
from collection.catalogue.spreadsheet.heading_row import find_heading
from collection.catalogue.spreadsheet.table import (
    MAX_BYTES,
    Row,
    Table,
    TableRefused,
    checked_rows,
)

__all__ = ["Row", "Table", "TableRefused", "read_table"]

OTHER_FORMATS = (
    (b"\xd0\xcf\x11\xe0", "This is an old .xls workbook, or one locked with a password."),
    (b"%PDF", "This is a PDF: its table cannot be read."),
    (b"{\\rtf", "This is a text document (RTF)."),
    (b"\x89PNG", "This is a picture."),
    (b"\xff\xd8\xff", "This is a picture."),
    (b"GIF8", "This is a picture."),
    (b"\x1f\x8b", "This is a packed archive."),
    (b"Rar!", "This is a packed archive."),
    (b"7z\xbc\xaf", "This is a packed archive."),
    (b"SQLite format 3", "This is a database file."),
)
MARKUP = (b"<!doctype", b"<html", b"<?xml", b"<table", b"<svg")
FEW_ROWS = 3
SAVE_AS = "Please save the table as .xlsx or .csv and send that."


def read_table(data: bytes, *, name: str) -> Table:
    """Read the bytes of a .csv, .tsv, .txt or .xlsx file, recognised by content.

    Rows carry the number a spreadsheet shows: a record is a row, a line break inside a quoted cell
    begins none, and empty lines count.

    Raises:
        TableRefused: empty, too large, of another format, or without any heading and row.
    """
    if len(data) > MAX_BYTES:
        raise TableRefused(f"The file is larger than {MAX_BYTES // 1_000_000} MB.")
    if not data.strip(b" \t\r\n\0\xef\xbb\xbf\xff\xfe"):
        raise TableRefused("The file is empty.")
    _refuse_other_formats(data)
    is_workbook = data.startswith(b"PK")
    found, remarks = workbook.records(data) if is_workbook else (_delimited(data), [])
    rows = checked_rows(found)
    if not rows:
        raise TableRefused("The file holds no table: every cell is empty.")
    return _table(rows, name=name, remarks=remarks, is_delimited=not is_workbook)


def _refuse_other_formats(data: bytes) -> None:
    for start, what in OTHER_FORMATS:
        if data.startswith(start):
            raise TableRefused(f"{what} {SAVE_AS}")
    if data[:200].lstrip(b"\xef\xbb\xbf \t\r\n").lower().startswith(MARKUP):
        raise TableRefused(f"This is a web page or another marked-up file. {SAVE_AS}")


def _delimited(data: bytes) -> list[tuple[str, ...]]:
    text = decode(data)
    sample = text[:100_000]
    strange = sum(char < " " and char not in "\t\r\n" for char in sample)
    if strange > max(3, len(sample) // 50):
        raise TableRefused(f"This is not a text file. {SAVE_AS}")
    return delimited.records(text)


def _table(rows: list[Row], *, name: str, remarks: list[str], is_delimited: bool) -> Table:
    at = find_heading(rows)
    if at is None:
        width = max(len(row.cells) for row in rows)
        remarks = [*remarks, "No row of headings was found: the columns are named by letter."]
        return Table(name, ("",) * width, tuple(rows), 0, (), tuple(remarks), is_delimited)
    below = rows[at + 1 :]
    headings = _headings(rows[at], below, is_delimited=is_delimited)
    preface = tuple(row for row in rows[:at] if not row.is_blank)
    if preface:
        remarks = [*remarks, f"The headings were found in row {rows[at].number}."]
    return Table(
        name, headings, tuple(below), rows[at].number, preface, tuple(remarks), is_delimited
    )


def _headings(row: Row, below: list[Row], *, is_delimited: bool) -> tuple[str, ...]:
    """Headings, with an empty one over every further column that belongs to the table.

    In a workbook that is every column with a cell in it. In delimited text a row with more cells
    than the headings has a delimiter too many, unless most rows have.
    """
    headings = [" ".join(cell.split()) for cell in row.cells]
    widths = sorted(_used(line) for line in below if not line.is_blank) or [0]
    needed = widths[-1]
    if is_delimited:
        needed = widths[(len(widths) - 1) // 2] if len(widths) >= FEW_ROWS else 0
    while headings and not headings[-1] and len(headings) > widths[-1]:
        headings.pop()
    return tuple(headings + [""] * (needed - len(headings)))


def _used(row: Row) -> int:
    return max((at for at, cell in enumerate(row.cells, 1) if cell.strip()), default=0)

"""The refused rows as a file that can be mended in a spreadsheet and brought in again."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from collection.catalogue.spreadsheet.cells import CONTROL
from collection.catalogue.spreadsheet.table import Row, Table

WHY = "Why it was not taken"
# A spreadsheet runs what begins like this; a plain number is none.
FORMULA = re.compile(r"\s*[=+\-@\t\r]")
NUMBER = re.compile(r"[+-]?\d[\d.,]*")


def mended_file(headings: Sequence[str], rows: Iterable[tuple[str, Sequence[str]]]) -> bytes:
    """UTF-8 with a mark, comma-separated: the reason first, then the row as it was written."""
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow([WHY, *map(harmless, headings)])
    writer.writerows([harmless(why), *map(harmless, cells)] for why, cells in rows)
    return stream.getvalue().encode("utf-8-sig")


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula; control characters become visible."""
    text = CONTROL.sub("\ufffd", cell)
    return f"'{text}" if FORMULA.match(text) and not NUMBER.fullmatch(text) else text


def without_reasons(table: Table) -> Table:
    """The table of such a file as it was before: no column of reasons, no apostrophes."""
    if not table.headings or table.headings[0] != WHY:
        return table
    rows = tuple(Row(row.number, tuple(map(_as_written, row.cells[1:]))) for row in table.rows)
    return replace(table, headings=tuple(map(_as_written, table.headings[1:])), rows=rows)


def _as_written(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and FORMULA.match(cell[1:]) else cell

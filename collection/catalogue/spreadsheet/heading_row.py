"""Find the row of headings, which may stand below a title or be missing."""

import re
from collections import Counter
from collections.abc import Sequence

from collection.catalogue.spreadsheet.headings import known_headings
from collection.catalogue.spreadsheet.kind_words import read_kind
from collection.catalogue.spreadsheet.table import Row

SEARCHED = 40
DATA = re.compile(
    r"(?=.*\d)[A-Z]{0,4}[-. ]?\d{1,6}|\d{4}|\d{4}-\d\d-\d\d|\d{1,2}[./]\d{1,2}[./]\d{2,4}"
    r"|[£€$]?\s?[\d.,]+\s?[£€$]?",
    re.IGNORECASE,
)


def find_heading(rows: Sequence[Row]) -> int | None:
    """Index of the row of headings, or None when the first row is already a piece.

    The row that names most fields wins, the first one on a tie; if none names any, the first row
    at least half as wide as the table usually is.
    """
    first = [at for at, row in enumerate(rows) if not row.is_blank][:SEARCHED]
    named = {at: known_headings(rows[at].cells) for at in first}
    best = max(first, key=lambda at: named[at])
    is_data = _looks_like_data(rows[best])
    if 2 * named[best] >= _filled(rows[best]) or (named[best] and not is_data):
        return best
    usual = _usual_width([rows[at] for at in first])
    wide = next((at for at in first if 2 * _filled(rows[at]) >= usual), first[0])
    return None if _looks_like_data(rows[wide]) else wide


def _filled(row: Row) -> int:
    return sum(bool(cell.strip()) for cell in row.cells)


def _usual_width(rows: Sequence[Row]) -> int:
    counts = Counter(_filled(row) for row in rows)
    return max(counts, key=lambda width: (counts[width], width)) if counts else 1


def _looks_like_data(row: Row) -> bool:
    cells = [cell.strip() for cell in row.cells if cell.strip()]
    telling = sum(bool(DATA.fullmatch(cell)) or read_kind(cell) is not None for cell in cells)
    return telling >= 2 or (len(cells) == 1 and telling == 1)

"""Propose which column is what, from its heading and a look at its cells."""

import re
from collections.abc import Callable

from collection.catalogue.spreadsheet.headings import LEAVE, UNSETTLED, fold, recognise
from collection.catalogue.spreadsheet.kind_words import kind_within, read_kind
from collection.catalogue.spreadsheet.table import Table
from collection.catalogue.spreadsheet.told_working import read_told

FIELDS = (
    "code",
    "kind",
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
    "works",
    "checked",
    "value",
    "currency",
    "mass",
    "modifications",
    "notes",
    "count",
)
SEVERAL = ("notes",)
FIGURES = ("year", "checked", "value", "mass", "count")
SAMPLE = 400

YEAR = re.compile(
    r"\D{0,12}(1[89]\d\d|20[0-2]\d)s?\D{0,6}(\d\d(\d\d)?)?\W*|'\d\d|(early|mid|late)? ?\d0s"
)
DAY = re.compile(r"\d{4}-\d\d-\d\d.*|\d{1,2}[./-]\d{1,2}[./-]\d{2,4}|[^\W\d]{3,9}\.? \d{2,4}")
CODE = re.compile(r"(?=.*\d)(?=.*[A-Z])[A-Z0-9]{1,6}[-./ ]?[A-Z0-9]{1,6}([-.]\d{1,4})?", re.I)
# Above such a column years and days are about something else than the making of the piece.
OF_SOMETHING_ELSE = re.compile(
    r"bought|purchas|acquir|serv|strung|fret|sold|gig|play|last|next|due|insur|paid|kauf|achat"
    r"|koop|kjop|kob|show|tour|used|since|until|expir|repair|warrant"
)


def propose(table: Table) -> dict[int, str]:
    """Column index → field, for every column whose meaning is likely.

    A column that is left out is kept as 'Heading: text' in the notes. The result is a plain dict:
    a person may change any of it before planning.
    """
    named = sorted(_by_heading(table), reverse=True)
    mapping: dict[int, str] = {}
    for _, _, index, field in named:
        if field in SEVERAL or field not in mapping.values():
            mapping[index] = field
    _by_content(table, mapping)
    return dict(sorted(mapping.items()))


def _by_heading(table: Table) -> list[tuple[float, int, int, str]]:
    """(strength, −index, index, field): sorts to the surest, then the leftmost column first."""
    found = []
    for index, heading in enumerate(table.headings):
        known = recognise(heading)
        if known and known.field != LEAVE and known.field not in UNSETTLED:
            cells = table.column(index)[:SAMPLE]
            if field := _corrected(known.field, cells):
                found.append((known.strength, -index, index, field))
    return found


def _corrected(field: str, cells: list[str]) -> str:
    """A heading that its cells plainly contradict gives way; '' leaves the column unmapped."""
    if field in FIGURES and len(cells) >= 3 and _share(cells, _has_figure) < 0.3:
        return ""
    if field == "kind" and len(cells) >= 3 and _share(cells, _is_kind) < 0.2:
        return "design" if _share(cells, _ends_in_kind) >= 0.5 else field
    return field


def _by_content(table: Table, mapping: dict[int, str]) -> None:
    """Settle the columns that no heading settled, each field at most once."""
    free = [index for index in range(len(table.headings)) if index not in mapping]
    for field, fits in CONTENT.items():
        if field in mapping.values():
            continue
        for index in free:
            if index not in mapping and fits(table, index):
                mapping[index] = field
                break


def _share(cells: list[str], test: Callable[[str], bool]) -> float:
    return sum(map(test, cells)) / len(cells) if cells else 0.0


def _hint(table: Table, index: int) -> str | None:
    known = recognise(table.headings[index])
    return known.field if known else None


def _is_kind(cell: str) -> bool:
    return read_kind(cell) is not None


def _ends_in_kind(cell: str) -> bool:
    return kind_within(cell) is not None


def _is_year(cell: str) -> bool:
    return YEAR.fullmatch(cell.lower()) is not None


def _is_day(cell: str) -> bool:
    return DAY.fullmatch(cell) is not None and not _is_year(cell)


def _has_figure(cell: str) -> bool:
    return any(map(str.isdigit, cell))


def _is_code(cell: str) -> bool:
    return CODE.fullmatch(cell) is not None


def _is_works(cell: str) -> bool:
    told = read_told(cell)
    return told is not None and told.says != "unclear"


def _fits_kind(table: Table, index: int) -> bool:
    return _hint(table, index) in (None, "any_name") and (
        _share(table.column(index)[:SAMPLE], _is_kind) >= 0.6
    )


def _fits_code(table: Table, index: int) -> bool:
    cells = table.column(index)[:SAMPLE]
    hint = _hint(table, index)
    if not cells or len(set(cells)) < 0.9 * len(cells) or hint not in (None, "any_number"):
        return False
    if hint == "any_number":
        return _share(cells, lambda cell: len(cell) <= 16 and " " not in cell) >= 0.9
    return index == 0 and len(cells) >= 2 and _share(cells, _is_code) >= 0.9


def _fits_year(table: Table, index: int) -> bool:
    hint = _hint(table, index)
    if hint not in (None, "any_date") or OF_SOMETHING_ELSE.search(fold(table.headings[index])):
        return False
    cells = table.column(index)[:SAMPLE]
    return len(cells) >= 2 and _share(cells, _is_year) >= 0.7


def _fits_works(table: Table, index: int) -> bool:
    return _hint(table, index) == "any_state" and (
        _share(table.column(index)[:SAMPLE], _is_works) >= 0.5
    )


def _fits_design(table: Table, index: int) -> bool:
    return _hint(table, index) == "any_name" and bool(table.column(index))


def _fits_nickname(table: Table, index: int) -> bool:
    return fold(table.headings[index]) in ("name", "naam", "navn", "nom")


CONTENT: dict[str, Callable[[Table, int], bool]] = {
    "kind": _fits_kind,
    "code": _fits_code,
    "year": _fits_year,
    "works": _fits_works,
    "design": _fits_design,
    "nickname": _fits_nickname,
}

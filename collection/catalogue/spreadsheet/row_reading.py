"""Read one row of a table by its mapping, losing no text on the way."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from collection.catalogue.spreadsheet.amounts import (
    commas_are_decimal,
    currency_in_heading,
    currency_of,
    mass_unit_in_heading,
    read_mass,
    read_money,
)
from collection.catalogue.spreadsheet.cells import (
    LENGTHS,
    SHOWN_ERROR,
    control_character,
    read_code,
    read_count,
    read_line,
    read_serial,
    said,
    tidy,
)
from collection.catalogue.spreadsheet.dates import months_come_first, read_date
from collection.catalogue.spreadsheet.kind_words import kind_within, read_kind
from collection.catalogue.spreadsheet.refusal import CellRefused, RowRefused
from collection.catalogue.spreadsheet.table import Row, Table
from collection.catalogue.spreadsheet.tag_out import ProposedTagOut, propose_tag_out
from collection.catalogue.spreadsheet.told_working import read_told, split_date

SAYS_WHAT = ("kind", "maker", "design", "nickname")
FREE_TEXT = ("notes", "modifications", "works", "count")
RAGGED_SHARE = 3
RAGGED_ROWS = 3


@dataclass(frozen=True)
class Column:
    """One column of the table: its field ('' when unmapped) and what its whole tells of a cell."""

    label: str
    field: str
    month_first: bool = False
    comma_decimal: bool = False
    currency: str = ""
    unit: str = ""


@dataclass(frozen=True)
class Layout:
    """What must be known of a table to read any of its rows."""

    columns: tuple[Column, ...]
    headings: tuple[str, ...]
    short_rows_are_torn: bool
    today: date


@dataclass
class ReadRow:
    """What a row gave: values by field, lines for the notes, cells and reasons of refusal."""

    row: Row
    values: dict[str, Any] = field(default_factory=dict)
    kept: list[str] = field(default_factory=list)
    not_taken: list[tuple[str, str, str]] = field(default_factory=list)
    reasons: list[str] = field(default_factory=list)
    tag_out: ProposedTagOut | None = None

    def keep(self, column: Column, text: str) -> None:
        """Put a text that found no field among the lines for the notes."""
        self.kept.append(f"{column.label}: {text}")

    def refuse_cell(self, column: Column, text: str, reason: str) -> None:
        """The piece goes in without this cell; its text is kept."""
        self.not_taken.append((column.label, text, reason))
        self.keep(column, text)


def layout_of(table: Table, mapping: dict[int, str], *, today: date) -> Layout:
    """Look at each column as a whole: order of day and month, decimal sign, currency, unit."""
    columns = tuple(
        _column(table, index, mapping.get(index, "")) for index in range(len(table.headings))
    )
    filled = [row for row in table.rows if not row.is_blank]
    short = sum(len(row.cells) < len(columns) for row in filled)
    is_ragged = short >= RAGGED_ROWS and short * RAGGED_SHARE >= len(filled)
    return Layout(columns, table.headings, table.is_delimited and not is_ragged, today)


def _column(table: Table, index: int, field: str) -> Column:
    column = Column(table.label(index), field)
    if field in ("year", "checked", "works"):
        return replace(column, month_first=months_come_first(table.column(index)))
    if field == "value":
        return replace(column, currency=currency_in_heading(table.headings[index]))
    if field == "mass":
        commas = commas_are_decimal(table.column(index))
        unit = mass_unit_in_heading(table.headings[index])
        return replace(column, unit=unit, comma_decimal=commas)
    return column


def read_row(row: Row, layout: Layout) -> ReadRow:
    """Everything that a row says; never raises."""
    read = ReadRow(row, reasons=_faults_of_shape(row, layout))
    cells = {
        index: text
        for index, cell in enumerate(row.cells[: len(layout.columns)])
        if (text := tidy(cell))
    }
    # The currency has a column of its own at times, and the value needs it.
    for index in sorted(cells, key=lambda index: layout.columns[index].field != "currency"):
        _read_cell(read, layout.columns[index], cells[index], layout.today)
    _settle_kind(read)
    named = {layout.columns[index].field for index, cell in cells.items() if said(cell)}
    if not named.intersection(SAYS_WHAT):
        read.reasons.append("nothing says what this is: no kind, maker, model or name")
    read.tag_out = propose_tag_out(
        cell for index, cell in cells.items() if layout.columns[index].field in ("", *FREE_TEXT)
    )
    return read


def _faults_of_shape(row: Row, layout: Layout) -> list[str]:
    faults: list[str] = []
    width = len(layout.columns)
    used = max((at for at, cell in enumerate(row.cells, 1) if cell.strip()), default=0)
    if used > width:
        faults.append(f"more cells than columns: {used} instead of {width}")
    if len(row.cells) < width and layout.short_rows_are_torn:
        faults.append(f"fewer cells than columns: {len(row.cells)} instead of {width}")
    if tuple(" ".join(cell.split()) for cell in row.cells[:width]) == layout.headings:
        faults.append("this row repeats the headings")
    for index, cell in enumerate(row.cells):
        if found := control_character(cell):
            label = layout.columns[index].label if index < width else f"cell {index + 1}"
            faults.append(f"a control character ({found}) stands in '{label}'")
    return faults


def _read_cell(read: ReadRow, column: Column, text: str, today: date) -> None:
    if not column.field or (column.field in read.values and said(text)):
        read.keep(column, text)
        return
    try:
        if column.field not in FREE_TEXT and SHOWN_ERROR.fullmatch(text):
            raise CellRefused("the spreadsheet shows an error here")
        READERS[column.field](read, column, text, today)
    except RowRefused as refused:
        read.reasons.append(refused.reason)
    except CellRefused as refused:
        read.refuse_cell(column, text, refused.reason)


def _code(read: ReadRow, column: Column, text: str, today: date) -> None:
    if code := read_code(text):
        read.values["code"] = code
        if code != text.upper():
            read.keep(column, text)


def _kind(read: ReadRow, column: Column, text: str, today: date) -> None:
    words = read_line(text, field="kind")
    if not words:
        return
    read.values["kind_words"] = words
    read.values["kind"] = read_kind(words) or kind_within(words)
    if not read_kind(words):
        read.keep(column, words)


def _line(read: ReadRow, column: Column, text: str, today: date) -> None:
    if line := read_line(text, field=column.field):
        read.values[column.field] = line


def _serial(read: ReadRow, column: Column, text: str, today: date) -> None:
    if serial := read_serial(text):
        read.values["serial"] = serial


def _date(read: ReadRow, column: Column, text: str, today: date) -> None:
    if said(text):
        read.values[column.field] = read_date(text, today=today, month_first=column.month_first)


def _works(read: ReadRow, column: Column, text: str, today: date) -> None:
    told = read_told(text)
    if told is None:
        return
    when = split_date(told.words)[1] if told.says != "unclear" or len(text) <= 40 else ""
    try:
        on = read_date(when, today=today, month_first=column.month_first) if when else ""
    except CellRefused:
        on = ""  # the words keep it
    read.values["told"] = replace(told, on=on)


def _currency(read: ReadRow, column: Column, text: str, today: date) -> None:
    read.values["currency"] = ""
    read.values["currency"] = currency_of(said(text))


def _value(read: ReadRow, column: Column, text: str, today: date) -> None:
    if not said(text):
        return
    beside = read.values.get("currency")
    if beside == "" and read.not_taken:
        raise CellRefused("its currency could not be read")
    money = read_money(said(text), currency=beside or column.currency)
    read.values["value_minor"], read.values["currency"] = money.value_minor, money.currency
    if money.approximate:
        read.keep(column, text)


def _mass(read: ReadRow, column: Column, text: str, today: date) -> None:
    if said(text):
        read.values["mass_kg"] = read_mass(
            said(text), unit=column.unit, comma_decimal=column.comma_decimal
        )


def _free(read: ReadRow, column: Column, text: str, today: date) -> None:
    if said(text):
        read.values[column.field] = text


def _count(read: ReadRow, column: Column, text: str, today: date) -> None:
    read_count(text)


READERS: dict[str, Callable[[ReadRow, Column, str, date], None]] = {
    **dict.fromkeys(LENGTHS, _line),
    "code": _code,
    "kind": _kind,
    "serial": _serial,
    "year": _date,
    "checked": _date,
    "works": _works,
    "currency": _currency,
    "value": _value,
    "mass": _mass,
    "modifications": _free,
    "notes": _free,
    "count": _count,
}


def _settle_kind(read: ReadRow) -> None:
    """Without a word for it, the design may say what kind of thing this is."""
    if not read.values.get("kind"):
        found = kind_within(read.values.get("design", ""))
        read.values["kind"] = None if read.values.get("kind_words") else found

"""Read an .xlsx workbook as text, as its cells show it, by cached values only."""

import re
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time
from io import BytesIO
from typing import Any

from collection.catalogue.spreadsheet.headings import known_headings
from collection.catalogue.spreadsheet.table import (
    MAX_ROWS,
    MAX_UNPACKED_BYTES,
    TableRefused,
)

MAX_SHEETS = 50
MAX_CELLS = 20_000_000
SHOWN_UNIT = re.compile(r'"\s*(kg|lbs?|g|oz|£|€|\$|EUR|GBP|USD|NOK|DKK|SEK|kr\.?)\s*"')
SHOWN_CURRENCY = re.compile(r"\[\$([^\]-]+)(?:-[^\]]*)?\]|([£€$])")
QUIET = re.compile(r'\[[^\]]*\]|"[^"]*"|\\.')
FORMULA = re.compile(rb"<f[ >/]")


def check_archive(data: bytes) -> None:
    """Refuse what is not a workbook, or unpacks into more than can be read.

    Raises:
        TableRefused: with a sentence on what the file is instead.
    """
    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            entries = archive.infolist()
            _check_contents(archive, {entry.filename for entry in entries})
            if sum(entry.file_size for entry in entries) > MAX_UNPACKED_BYTES:
                raise TableRefused("The workbook unpacks into more than can be read.")
            for entry in entries:
                _check_declarations(archive, entry)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, OSError, EOFError):
        raise TableRefused("The workbook is damaged or locked with a password.") from None


def _check_contents(archive: zipfile.ZipFile, names: set[str]) -> None:
    if "mimetype" in names and b"opendocument" in archive.read("mimetype")[:80]:
        raise TableRefused("This is an OpenDocument file. Please save it as .xlsx or .csv.")
    if "xl/workbook.bin" in names:
        raise TableRefused("This is a binary workbook (.xlsb). Please save it as .xlsx or .csv.")
    if not any(name.lower() == "xl/workbook.xml" for name in names):
        raise TableRefused("This is an archive, not a spreadsheet. Please send the .xlsx or .csv.")


def _check_declarations(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> None:
    """No part of a workbook declares a document type; one that does means mischief."""
    if not entry.filename.lower().endswith((".xml", ".rels")):
        return
    with archive.open(entry) as part:
        if b"<!DOCTYPE" in part.read(2048).replace(b"\0", b"").upper():
            raise TableRefused("The workbook holds declarations that no spreadsheet writes.")


def records(data: bytes) -> tuple[list[tuple[str, ...]], list[str]]:
    """The records of the sheet that looks most like an inventory, and remarks on the choice."""
    import openpyxl  # slow to load

    check_archive(data)
    try:
        book = openpyxl.load_workbook(BytesIO(data), read_only=True, data_only=True)
        sheets = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
        sheets = (sheets or book.worksheets)[:MAX_SHEETS]
        if not sheets:
            raise TableRefused("The workbook has no sheet with cells.")
        chosen = max(sheets, key=_likeness)
        found = _sheet_records(chosen)
        if _has_formulas(data):
            written = openpyxl.load_workbook(BytesIO(data), read_only=True, data_only=False)
            found = _with_unreckoned(found, _sheet_records(written[chosen.title]))
    except TableRefused:
        raise
    except Exception as error:  # the library raises whatever a damaged file makes it stumble on
        raise TableRefused("The workbook is damaged and cannot be read.") from error
    return found, _remarks(chosen.title, [sheet.title for sheet in sheets])


def _likeness(sheet: Any) -> tuple[int, bool]:
    sheet.reset_dimensions()
    first = [tuple(map(shown, row)) for _, row in zip(range(20), sheet.iter_rows(), strict=False)]
    return max(map(known_headings, first), default=0), any(any(row) for row in first)


def _sheet_records(sheet: Any) -> list[tuple[str, ...]]:
    sheet.reset_dimensions()  # a stored extent may be wrong either way
    found: list[tuple[str, ...]] = []
    filled = reckoned = 0
    for row in sheet.iter_rows():
        reckoned += len(row)
        if reckoned > MAX_CELLS:
            raise TableRefused("The sheet spans more cells than can be read.")
        cells = tuple(map(shown, row))
        filled += any(cells)
        if filled > MAX_ROWS + 100:
            raise TableRefused(f"The table has more than {MAX_ROWS:,} rows: please split it.")
        found.append(cells if any(cells) else ())
    return found


def _remarks(chosen: str, titles: list[str]) -> list[str]:
    others = [f"'{title}'" for title in titles if title != chosen]
    if not others:
        return []
    return [f"Sheet '{chosen}' was read; not read: {', '.join(others)}."]


def _has_formulas(data: bytes) -> bool:
    with zipfile.ZipFile(BytesIO(data)) as archive:
        sheets = [name for name in archive.namelist() if name.startswith("xl/worksheets/")]
        return any(FORMULA.search(archive.read(name)) for name in sheets)


def _with_unreckoned(
    values: list[tuple[str, ...]], written: list[tuple[str, ...]]
) -> list[tuple[str, ...]]:
    """A formula whose result was never stored is kept as its own text, so nothing is lost."""
    return [tuple(_merged(row, written[at])) for at, row in enumerate(values)] + written[
        len(values) :
    ]


def _merged(values: tuple[str, ...], written: tuple[str, ...]) -> Iterator[str]:
    for at in range(max(len(values), len(written))):
        value = values[at] if at < len(values) else ""
        yield value or (written[at] if at < len(written) else "")


def shown(cell: Any) -> str:
    """One cell as text: ISO dates as precise as they are shown, numbers without a false '.0'."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, str):
        return value.replace("_x000D_", "").replace("\r\n", "\n")
    form = cell.number_format or "General"
    if isinstance(value, datetime | date):
        return _shown_date(value, form)
    if isinstance(value, int | float):
        return _shown_number(value, form)
    return value.isoformat("minutes") if isinstance(value, time) else str(value)


def _shown_date(value: date, form: str) -> str:
    """A cell that shows 'Aug 2025' holds the first of August; the day would be invented."""
    tokens = QUIET.sub("", form.lower())
    if "y" in tokens and "d" not in tokens and "h" not in tokens:
        return value.strftime("%Y-%m") if "m" in tokens else value.strftime("%Y")
    if isinstance(value, datetime) and value.time() != time():
        return value.isoformat(" ", "minutes")
    return value.isoformat()[:10]


def _shown_number(value: float, form: str) -> str:
    if re.fullmatch(r"0{2,}", form) and value == int(value) >= 0:
        return str(int(value)).zfill(len(form))
    if form.rstrip().endswith("%"):
        return f"{value * 100:.15g}%"
    text = str(value) if isinstance(value, int) else f"{value:.15g}"
    if unit := SHOWN_UNIT.search(form):
        return f"{text} {unit.group(1)}"
    if currency := SHOWN_CURRENCY.search(form):
        return f"{(currency.group(1) or currency.group(2)).strip()} {text}".strip()
    return text

"""Cells of a CSV file that a spreadsheet programme cannot take for a formula.

A text that begins with one of these characters may be run as a formula when the file is opened, so
an apostrophe is put before it; numbers stay numbers, a minus included. Whoever reads the file by
programme takes one leading apostrophe off where one of these characters follows it.

Source: OWASP, Application Security Verification Standard 5.0, requirement 1.2.10: one single quote
before =, +, -, @, tab and NUL at the beginning of a field, quoting as RFC 4180 §2.6 and 2.7 asks.
Carriage return, line feed and the full-width forms of the first four are added after OWASP's page
'CSV Injection' (from memory). We go one step further and look behind leading spaces.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from typing import Final

LEADING: Final = frozenset("=+-@\t\0\r\n＝＋－＠")
BOM: Final = "\ufeff"

Cell = str | int | float | Decimal | bool | date | datetime | None


def cell(value: Cell) -> str | int | float | Decimal:
    """A value as it may stand in a file: text made harmless, numbers as they are.

    >>> cell("=1+1"), cell(-3), cell("-3"), cell(None)
    ("'=1+1", -3, "'-3", '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float, Decimal)):
        return value
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, date):
        return value.isoformat()
    return f"'{value}" if _may_run(value) else value


def row(values: Iterable[Cell]) -> list[str | int | float | Decimal]:
    """A row of harmless cells."""
    return [cell(value) for value in values]


def _may_run(text: str) -> bool:
    # Spreadsheets drop leading spaces on reading, and what follows them would be first.
    return text[:1] in LEADING or text.lstrip(" \u00a0\ufeff")[:1] in LEADING if text else False

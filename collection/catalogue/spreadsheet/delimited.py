"""Cut delimited text into records: find the delimiter, survive a quote that never closes."""

import csv
import io
import re
from collections import Counter
from collections.abc import Generator, Iterator

from collection.catalogue.spreadsheet.headings import known_headings
from collection.catalogue.spreadsheet.table import TableRefused

DELIMITERS = (",", ";", "\t", "|")
SAMPLE_RECORDS = 200
MAX_OPEN_QUOTES = 20
ANNOUNCED = re.compile(r'"?sep=([,;|\t])"?(?:\r\n|\r|\n)', re.IGNORECASE)


def records(text: str) -> list[tuple[str, ...]]:
    """Every record of the text; an empty line is an empty record, as a spreadsheet shows it."""
    # A first line 'sep=;' speaks to the spreadsheet program, which does not show it as a row.
    if announced := ANNOUNCED.match(text):
        return list(_cut(text[announced.end() :], announced.group(1)))
    return list(_cut(text, find_delimiter(text)))


def find_delimiter(text: str) -> str:
    """The delimiter that gives the most even table; a comma when there is but one column."""
    sample = "".join(_first_lines(text, SAMPLE_RECORDS))
    return max(DELIMITERS, key=lambda delimiter: _evenness(sample, delimiter))


def _first_lines(text: str, count: int) -> Iterator[str]:
    for _, line in zip(range(count), io.StringIO(text, newline=""), strict=False):
        yield line


def _evenness(sample: str, delimiter: str) -> float:
    try:
        found = list(csv.reader(io.StringIO(sample, newline=""), delimiter=delimiter))
    except csv.Error:
        return 0.0
    widths = Counter(len(record) for record in found if any(cell.strip() for cell in record))
    several = {width: count for width, count in widths.items() if width > 1}
    if not several:
        return 0.0
    usual = max(several, key=lambda width: (several[width], width))
    named = max(known_headings(record) for record in found[:20])
    return several[usual] / widths.total() * min(usual, 12) + 3 * named


def _cut(text: str, delimiter: str) -> Iterator[tuple[str, ...]]:
    lines = list(io.StringIO(text, newline=""))
    start = opened = 0
    while start < len(lines):
        start, swallowed = yield from _cut_from(lines, start, delimiter)
        if not swallowed:
            return
        opened += 1
        if opened > MAX_OPEN_QUOTES:
            raise TableRefused("Too many quotation marks open and never close.")
        yield tuple(lines[start].rstrip("\r\n").split(delimiter))
        start += 1


def _cut_from(
    lines: list[str], start: int, delimiter: str
) -> Generator[tuple[str, ...], None, tuple[int, bool]]:
    """Yield records until the end, or until a quote swallows the rest of the file.

    Returns the line to go on with and whether that line opened such a quote.
    """
    reader = csv.reader(lines[start:], delimiter=delimiter)
    first = start
    try:
        for record in reader:
            after = start + reader.line_num
            is_last_of_several_lines = after == len(lines) and after - first > 1
            if is_last_of_several_lines and _never_closes(lines[first:], delimiter):
                return first, True
            yield tuple(record)
            first = after
    except csv.Error:
        return first, True
    return len(lines), False


def _never_closes(lines: list[str], delimiter: str) -> bool:
    try:
        list(csv.reader(lines, delimiter=delimiter, strict=True))
    except csv.Error as error:
        return "unexpected end" in str(error)
    return False

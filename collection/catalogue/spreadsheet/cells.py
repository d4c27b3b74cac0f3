"""Read one cell at a time; what cannot be read comes back as a reason in plain words."""

import re
import unicodedata

from collection.catalogue.spreadsheet.refusal import CellRefused, RowRefused
from collection.ledger.codes import well_formed

SERIAL_LENGTH = 60
LENGTHS = {
    "maker": 80,
    "design": 80,
    "circuit": 40,
    "finish": 80,
    "nickname": 60,
    "place": 80,
    "holder": 80,
    "owner": 80,
    "kind": 80,
}
NOTHING = frozenset(
    "- – — -- --- . n/a na n.a. n/k nil none tbc tba tbd unknown ? ?? ??? unbekannt keine inconnu"
    " aucun onbekend geen ukjent ukendt ingen k.a.".split()
)
SHOWN_ERROR = re.compile(
    r"#(DIV/0!|N/A|NAME\?|NULL!|NUM!|REF!|VALUE!|SPILL!|CALC!|NV|WERT!|BEZUG!|ZAHL!|#+)", re.I
)
LETTERS_THEN_DIGITS = re.compile(r"([A-Z]{1,8})[ ._/]?-?[ ]?(\d{1,8}[A-Z]?)")
# Neither a page nor every database takes these; tab and line ends are text.
CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")
# Format characters without a glyph: they would make two equal texts unequal.
INVISIBLE = dict.fromkeys(map(ord, "\ufeff\u200b\u200e\u200f\u2060\u202a\u202b\u202c\u202d\u202e"))


def tidy(cell: str) -> str:
    """A cell as text: composed, without outer space or invisible marks, line ends as '\\n'."""
    if cell.isascii() and "\r" not in cell:
        return cell.strip()
    text = unicodedata.normalize("NFC", cell.translate(INVISIBLE))
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\u00a0", " ").strip()


def control_character(cell: str) -> str:
    """The first control character in a cell, as 'U+0007'; '' when there is none."""
    found = CONTROL.search(cell)
    return f"U+{ord(found.group()):04X}" if found else ""


def said(cell: str) -> str:
    """One line of text; '' where the cell only says that there is nothing to say."""
    line = " ".join(tidy(cell).split())
    return "" if len(line) <= 10 and line.casefold() in NOTHING else line


def read_line(cell: str, *, field: str) -> str:
    """A name or a word.

    Raises:
        CellRefused: longer than the field holds, or an error the spreadsheet shows.
    """
    line = said(cell)
    if SHOWN_ERROR.fullmatch(line):
        raise CellRefused("the spreadsheet shows an error here")
    if len(line) > LENGTHS[field]:
        raise CellRefused(f"longer than {LENGTHS[field]} characters")
    return line


def read_code(cell: str) -> str:
    """The code of a piece, '' where none is written.

    Small letters become capitals, 'A 12' becomes 'A-12', a bare '101' becomes 'NO-101': a code
    begins with a letter and is written without spaces.

    Raises:
        RowRefused: anything else that is not a code.
    """
    written = said(cell).upper().removeprefix("#").strip()
    if not written:
        return ""
    code = written
    if written.isascii() and written.isdigit():
        code = f"NO-{written}"
    elif not well_formed(written) and (found := LETTERS_THEN_DIGITS.fullmatch(written)):
        code = f"{found.group(1)}-{found.group(2)}"
    if not well_formed(code):
        shown = written if len(written) <= 40 else f"{written[:40]}…"
        raise RowRefused(f"'{shown}' is not a code; codes look like A-007")
    return code


def read_serial(cell: str) -> str:
    """A serial number as marked, '?' for an unreadable character; '' for 'none'.

    Raises:
        RowRefused: longer than any serial number: the row is likely to be damaged.
    """
    line = " ".join(tidy(cell).split())
    if line == "?" * len(line):
        return line[:SERIAL_LENGTH]
    line = said(line)
    if line.casefold() in ("no serial", "no number", "without", "ohne", "sans", "zonder", "uten"):
        return ""
    if len(line) > SERIAL_LENGTH:
        raise RowRefused(f"serial number too long: {len(line)} characters, {SERIAL_LENGTH} at most")
    if SHOWN_ERROR.fullmatch(line):
        raise CellRefused("the spreadsheet shows an error here")
    return line


def read_count(cell: str) -> None:
    """How many things a row stands for.

    Raises:
        CellRefused: more than one; every piece needs a row of its own.
    """
    line = said(cell)
    if line not in ("", "0", "1") and line.casefold() not in ("one", "1x", "x1", "1 pc", "1 stk"):
        raise CellRefused("one row is one piece: give each further piece a row of its own")


def folded_words(text: str) -> str:
    """Text for matching places and people: case, commas and spacing do not count."""
    return " ".join(text.casefold().replace(",", " ").split())

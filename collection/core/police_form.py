"""A serial number as a police index of stolen things takes it.

Source: Wisconsin Department of Justice, TIME system manual, entry of stolen articles: 1 to 20
characters; no spaces, hyphens or symbols; a single zero or a run of zeros is refused; the
maker's serial and the owner-applied number are searched and must differ. Other countries ask
for other forms; the officer decides.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

LONGEST = 20  # characters


@dataclass(frozen=True)
class PoliceForm:
    """The text to read out, and what the officer must be told about it ('' when nothing)."""

    text: str
    remark: str = ""


def police_form(number: str) -> PoliceForm:
    """A serial without spaces, hyphens and symbols, in capitals.

    >>> police_form("L8-5I-04B7").text
    'L85I04B7'
    >>> police_form("000").remark
    'zeros only: such a number is not taken'
    """
    plain = unicodedata.normalize("NFKD", number).upper()
    text = "".join(c for c in plain if c.isascii() and c.isalnum())
    return PoliceForm(text, _remark(number, text))


def alike(serial: str, owners_mark: str) -> bool:
    """Whether serial and owner-applied number come out the same, which the index refuses.

    >>> alike("MV 7F-03", "mv7f03")
    True
    """
    return bool(police_form(serial).text) and police_form(serial) == police_form(owners_mark)


def _remark(number: str, text: str) -> str:
    if not text:
        return "no number to enter"
    if "?" in number:
        return "a character could not be read; search it both ways"
    if set(text) == {"0"}:
        return "zeros only: such a number is not taken"
    if len(text) > LONGEST:
        return f"{len(text)} characters; at most {LONGEST} are taken"
    return ""

"""Codes of locks and alarms typed where only keys belong.

A list of who holds which key is read by many and printed; a code in it is a code given away. What
is taken for one is common practice, no source: four digits or more in a row, spaces, dots and
dashes among them, or any digits beside a word that says what they are.
"""

from __future__ import annotations

import re
from typing import Final

WHY: Final = (
    "Codes never stand here, since this list is printed. Say who knows it instead. A number "
    "painted on a key may stand behind a letter: K-1204."
)
_ALONE: Final = re.compile(r"(?<![\w-])[#*]?\d(?:[\s.\-/]?\d){3,}[#*]?(?!\w)")
_WORD: Final = r"(?:code|pin|passcode|password|combination|alarm|keypad|safe|padlock)"
_BESIDE: Final = re.compile(
    rf"\b{_WORD}s?\b\W{{0,3}}(?:(?:is|number|no)\W{{1,3}})?[#*]?\d"
    rf"|(?<![\w-])\d[\d\s.\-]*\W{{0,3}}(?:is\W{{1,3}}the\W{{1,3}})?\b{_WORD}\b",
    re.IGNORECASE,
)


def looks_secret(text: str) -> bool:
    """Whether the words hold what looks like a code.

    >>> looks_secret("back door, 4 7 1 1"), looks_secret("alarm 22"), looks_secret("bay 3, K-1204")
    (True, True, False)
    """
    return bool(_ALONE.search(text) or _BESIDE.search(text))

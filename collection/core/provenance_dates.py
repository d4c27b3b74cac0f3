"""A partial date in the words of the published provenance format.

'19th century', '1990s', '1990', 'October 1990', 'October 11, 1990', 'before 1990'; a doubted date
bears a trailing '?'. What the format has no words for (about, a season, a span) keeps the words of
`PartialDate.sentence`, a house rule.

Source: Carnegie Museum of Art, provenance standard, draft 0.1 (14 March 2015), dates.
"""

from __future__ import annotations

import re

from collection.core.edtf_grammar import MONTHS
from collection.core.partial_date import PartialDate

_PLAIN = re.compile(r"([0-9]{3}[0-9X]|[0-9]{2}XX)(?:-([0-9]{2})(?:-([0-9]{2}))?)?")


def date_words(edtf: str) -> str:
    """The date of one moment; '' for ''.

    >>> [date_words(one) for one in ("18XX", "199X", "1990-10-11", "1959?", "../1990")]
    ['19th century', '1990s', 'October 11, 1990', '1959?', 'before 1990']

    Raises PartialDateError for text that is no EDTF.
    """
    if not edtf:
        return ""
    known = PartialDate.parse(edtf)
    if edtf.startswith("../"):
        return f"before {date_words(edtf.removeprefix('../'))}"
    if edtf.endswith("/.."):
        return f"after {date_words(edtf.removesuffix('/..'))}"
    plain = _plain_words(edtf.rstrip("?"))
    return plain + ("?" if edtf.endswith("?") else "") if plain else known.sentence()


def period_words(begin: str, end: str) -> str:
    """When somebody had it: '1959 until 1964', 'until October 1885?', '1959', ''.

    `begin` and `end` are EDTF text, '' where nothing is known.
    """
    first, last = date_words(begin), date_words(end)
    return f"{first} until {last}".strip() if last else first


def life_words(born: str, died: str, *, known: bool) -> str:
    """Life dates in brackets, each with its own doubt: '[1880?-1955]', '[1880-]'; '' for none."""
    return f"[{date_words(born)}-{date_words(died)}]" if known else ""


def _plain_words(text: str) -> str:
    found = _PLAIN.fullmatch(text)
    if found is None:
        return ""
    year, month, day = found.groups()
    if year.endswith("XX"):
        return "" if month else f"{_ordinal(int(year[:2]) + 1)} century"
    if year.endswith("X"):
        return "" if month else f"{year[:3]}0s"
    if month and not 1 <= int(month) <= 12:
        return ""
    if not month:
        return str(int(year))
    named = MONTHS[int(month) - 1]
    return f"{named} {int(day)}, {int(year)}" if day else f"{named} {int(year)}"


def _ordinal(number: int) -> str:
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{'th' if 10 <= number % 100 <= 20 else ending}"

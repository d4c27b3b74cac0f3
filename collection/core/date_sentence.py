"""A date in words, as it is echoed back and printed.

Everything here takes texts that `edtf_grammar.window` has accepted. The words keep the doubt:
'before 1970' is `../1970` and, as there, does not shut 1970 itself out (house rule).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

from collection.core.edtf_grammar import MONTHS, window

GROUPING_NAMES = {
    **dict(zip(range(21, 25), ("spring", "summer", "autumn", "winter"), strict=True)),
    **dict(zip(range(33, 37), ("first", "second", "third", "fourth"), strict=True)),
    **dict(zip(range(37, 40), ("early", "mid", "late"), strict=True)),
    **dict(zip(range(40, 42), ("first", "second"), strict=True)),
}
_DOUBT = {"": "", "~": "about ", "?": "possibly ", "%": "possibly about "}
_PART_DOUBT = {"~": "approximate", "?": "uncertain", "%": "uncertain and approximate"}
_MARKED = re.compile(r"[?~%]")


def sentence(text: str) -> str:
    """The words for an accepted EDTF text."""
    if text[0] in "[{":
        return _set(text)
    if "/" in text:
        return _interval(*text.split("/"))
    if "T" in text:
        return _time(text)
    return _single(text)


def day_words(day: date) -> str:
    """'9 June 2019'."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _interval(first: str, last: str) -> str:
    if first == "..":
        return f"{'on or ' if last.count('-') == 2 else ''}before {_single(last)}"
    if last == "..":
        return f"from {_single(first)} on"
    start = _single(first) if first else "an unknown date"
    end = _single(last) if last else "an unknown date"
    return f"{start} to {end}"


def _set(text: str) -> str:
    all_of = text[0] == "{"
    members = [_member(part) for part in text[1:-1].split(",")]
    if all_of:
        return ("" if len(members) == 1 else "all of ") + _listed(members, "and")
    return _listed(members, "or")


def _member(text: str) -> str:
    first, dots, last = text.partition("..")
    if not dots:
        return _single(text)
    if not first:
        return f"{_single(last)} or earlier"
    return f"{_single(first)} or later" if not last else f"{_single(first)} to {_single(last)}"


def _listed(members: Sequence[str], word: str) -> str:
    if len(members) == 1:
        return members[0]
    return f"{', '.join(members[:-1])} {word} {members[-1]}"


def _time(text: str) -> str:
    day, clock = text.split("T")
    zone = clock[8:]
    where = "local time" if not zone else "UTC" if zone == "Z" else f"UTC{zone}"
    return f"{_single(day)} at {clock[:8]} {where}"


def _single(text: str) -> str:
    if not _MARKED.search(text):
        return _bare(text)
    if not _MARKED.search(text[:-1]):
        return _DOUBT[text[-1]] + _bare(text[:-1])
    notes = [
        f"{name} {_PART_DOUBT[mark]}"
        for name, marks in zip(("year", "month", "day"), _part_marks(text), strict=False)
        for mark in marks
    ]
    return f"{_bare(_MARKED.sub('', text))} ({', '.join(notes)})"


def _part_marks(text: str) -> list[list[str]]:
    # A mark before a part is about that part; one behind is about it and all to its left.
    parts = text.split("-")
    marks: list[list[str]] = [[] for _ in parts]
    for place, part in enumerate(parts):
        if _MARKED.match(part):
            marks[place].append(part[0])
        elif _MARKED.search(part):
            for left in marks[: place + 1]:
                left.append(part[-1])
    return marks


def _bare(text: str) -> str:
    year, month, day = [*text.split("-"), "", ""][:3]
    if "X" in text:
        return _with_unknown_digits(text, year, month, day)
    if not month:
        return _year(year)
    if int(month) > 12:
        return _grouping(int(month), _year(year))
    named = f"{MONTHS[int(month) - 1]} {_year(year)}"
    return f"{int(day)} {named}" if day else named


def _year(year: str) -> str:
    return year if year[0] != "0" else f"AD {int(year)}"


def _with_unknown_digits(text: str, year: str, month: str, day: str) -> str:
    decade = year[:3].isdigit() and year[3] == "X"
    if "X" not in year and day == "XX":
        return f"some day of {_year(year) if month == 'XX' else _bare(f'{year}-{month}')}"
    if "X" not in year and not day and month == "XX":
        return f"some month of {_year(year)}"
    if not month and decade and year[2] != "0" and year[0] != "0":
        return f"the {year[:3]}0s"
    if not month and year[:2].isdigit() and year[2:] == "XX" and year[0] != "0":
        return f"the {year[:2]}00s"
    bounds = window(text)
    if bounds.earliest is None or bounds.latest is None:
        raise AssertionError(f"{text} has no bounds")
    if not month:
        return f"some year from {bounds.earliest.year} to {bounds.latest.year}"
    start, end = day_words(bounds.earliest), day_words(bounds.latest)
    return f"some day from {start} to {end}, written {text}"


def _grouping(code: int, year: str) -> str:
    if code in range(25, 33):
        half = "northern" if code < 29 else "southern"
        return f"{GROUPING_NAMES[21 + (code - 25) % 4]} {year} ({half})"
    if code in range(33, 37):
        return f"the {GROUPING_NAMES[code]} quarter of {year}"
    if code in range(40, 42):
        return f"the {GROUPING_NAMES[code]} half of {year}"
    return f"{GROUPING_NAMES[code]} {year}"

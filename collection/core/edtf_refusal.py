"""Why a text is no date, and where it stops being one."""

from __future__ import annotations

import re
from typing import NoReturn

MARK = "[?~%]?"


class PartialDateError(ValueError):
    """A text that is no date, with where and why.

    `position` counts characters from 0 in the text as given; `reason` is a plain sentence part.
    """

    def __init__(self, reason: str, position: int) -> None:
        super().__init__(f"{reason} (character {position + 1})")
        self.reason = reason
        self.position = position

    def __reduce__(self) -> tuple[type[PartialDateError], tuple[str, int]]:
        return type(self), (self.reason, self.position)


def explain(text: str, at: int) -> NoReturn:
    """Say why `text`, which stands `at` characters into the whole, is no single date."""
    if not text:
        raise PartialDateError("a date is missing here", at)
    if text[0] == "Y":
        raise PartialDateError("years have four digits here, without Y", at)
    if text[0] in "-−":
        raise PartialDateError("years before 0001 are not kept here", at)
    if re.fullmatch(r"[0-9]+S[0-9]+", text):
        raise PartialDateError("significant digits (S) are not kept here", at + text.index("S"))
    place = _first_odd_character(text)
    if place == len(text):
        raise PartialDateError("the date breaks off here", at + place)
    raise PartialDateError(_why(text, place), at + place)


def _first_odd_character(text: str) -> int:
    # The shape that the text follows longest tells where it leaves the grammar.
    shape = re.compile(
        rf"{MARK}[0-9X]{{0,4}}(?<=[0-9X]{{4}}){MARK}"
        rf"(?:-{MARK}[0-9X]{{1,2}}(?:(?<=[0-9X]{{2}}){MARK}(?:-{MARK}[0-9X]{{0,2}})?)?|-)?"
    )
    match = shape.match(text)
    if match:
        return match.end()
    start = re.match(rf"{MARK}[0-9X]{{0,4}}", text)
    return start.end() if start else 0


def _why(text: str, place: int) -> str:
    found = text[place]
    if found.isspace():
        return "a date has no spaces"
    if found == "x":
        return "an unknown digit is a capital X"
    if found.isdigit() and not found.isascii():
        return "only the digits 0 to 9 are read"
    if found.isdigit() and text[:place].isdigit():
        return "a year has four digits; month and day follow after dashes"
    if found.isdigit():
        return "month and day have two digits each"
    return f"{found!r} is not part of a date"

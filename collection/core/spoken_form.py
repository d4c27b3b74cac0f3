"""One spoken date without doubt or range: a day, month, season, year or decade.

The house rules behind the forms are listed in `spoken_date`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import NamedTuple

from collection.core.edtf_grammar import window
from collection.core.edtf_refusal import PartialDateError
from collection.core.relative_date import WEEKDAY, WEEKDAYS, counted_from, weekday_number

_MONTH_NAMES = (
    *("january", "february", "march", "april", "may", "june", "july"),
    *("august", "september", "october", "november", "december"),
)
_MONTHS = {
    **{name: n for n, name in enumerate(_MONTH_NAMES, 1)},
    **{name[:3]: n for n, name in enumerate(_MONTH_NAMES, 1)},
    "sept": 9,
}
_TENS = (
    *("twenties", "thirties", "forties", "fifties"),
    *("sixties", "seventies", "eighties", "nineties"),
)
_DECADES = {name: 1920 + 10 * n for n, name in enumerate(_TENS)}
_SEASONS = {"spring": 21, "summer": 22, "autumn": 23, "fall": 23, "winter": 24}
_ORDINALS = {
    **{"first": 0, "second": 1, "third": 2, "fourth": 3},
    **{"1st": 0, "2nd": 1, "3rd": 2, "4th": 3},
}
_THIRDS = {"early": 0, "mid": 1, "middle": 1, "late": 2}
_THIRD_YEARS = ((0, 3), (4, 6), (7, 9))

_EARLY = r"(?:(early|mid|middle|late)(?:\s+|-)(?:in\s+|of\s+)?(?:the\s+)?)"
_YEAR = r"('?[0-9]{2}|[0-9]{4})"
_OF = r"(?:,?\s+|\s+of\s+|\s+in\s+)"
_MONTH = rf"({'|'.join(sorted(_MONTHS, key=len, reverse=True))})\.?"
_WEEKDAY = rf"(?:{WEEKDAY}\.?,?\s+)?"
_DAY = r"([0-9]{1,2})(?:st|nd|rd|th)?"


class Phrase(NamedTuple):
    """A piece of what was typed, and where it stands, so that a refusal can point at it."""

    text: str
    at: int  # where it starts in what was typed
    today: date | None

    def part(self, start: int, end: int | None = None) -> Phrase:
        """A piece of this piece, without the spaces around it."""
        piece = self.text[start:end]
        kept = piece.strip()
        return self._replace(text=kept, at=self.at + start + piece.find(kept[:1] or ""))

    def refuse(self, reason: str, at: int = 0) -> PartialDateError:
        """The error that points `at` characters into this piece."""
        return PartialDateError(reason, self.at + at)


def single_form(phrase: Phrase) -> str | None:
    """The EDTF text for one lower-case day, month, year, season or decade; None for none of them.

    Raises PartialDateError for a form that is read but names no real date.
    """
    for pattern, reader in _READERS:
        match = pattern.fullmatch(phrase.text)
        if match is not None:
            return reader(phrase, match)
    return counted_from(phrase.text, phrase.today, at=phrase.at)


def checked(edtf: str, phrase: Phrase, at: int) -> str:
    """`edtf` again if it is one; else refuses the typed phrase, `at` characters into it."""
    try:
        window(edtf)
    except PartialDateError as error:
        raise phrase.refuse(error.reason, at) from None
    return edtf


def _full_year(text: str, phrase: Phrase) -> int:
    digits = text.lstrip("'")
    if len(digits) == 4:
        return int(digits)
    newest = max(2029, phrase.today.year + 3) if phrase.today else 2029
    return newest - (newest - int(digits)) % 100


def _read_year(phrase: Phrase, match: re.Match[str]) -> str:
    return checked(f"{_full_year(match[1], phrase):04d}", phrase, 0)


def _read_decade(phrase: Phrase, match: re.Match[str]) -> str:
    third, name = match[1], match[2]
    if name in _DECADES:
        start = _DECADES[name]
    else:
        start = _full_year(re.sub("[s'x]", "", name).ljust(2, "0"), phrase)
        if name.endswith("x"):
            start = int(name[:3]) * 10
    if third:
        first, last = _THIRD_YEARS[_THIRDS[third]]
        return checked(f"{start + first:04d}/{start + last:04d}", phrase, 0)
    is_century = start % 100 == 0 and len(name.strip("'s")) == 4 and not name.endswith("x")
    return f"{start // 100:02d}XX" if is_century else f"{start // 10:03d}X"


def _read_third(phrase: Phrase, match: re.Match[str]) -> str:
    return checked(f"{_full_year(match[2], phrase):04d}-{37 + _THIRDS[match[1]]}", phrase, 0)


def _read_season(phrase: Phrase, match: re.Match[str]) -> str:
    return checked(f"{_full_year(match[2], phrase):04d}-{_SEASONS[match[1]]}", phrase, 0)


def _read_quarter(phrase: Phrase, match: re.Match[str]) -> str:
    year, number = (match[2], match[1]) if match[1] else (match[3], match[4])
    return checked(f"{_full_year(year, phrase):04d}-{32 + int(number)}", phrase, 0)


def _read_part(phrase: Phrase, match: re.Match[str]) -> str:
    code = _ORDINALS[match[1]] + (40 if match[2] == "half" else 33)
    if match[2] == "half" and code > 41:
        raise phrase.refuse("a year has two halves")
    return checked(f"{_full_year(match[3], phrase):04d}-{code}", phrase, 0)


def _read_month(phrase: Phrase, match: re.Match[str]) -> str:
    return checked(f"{_full_year(match[2], phrase):04d}-{_MONTHS[match[1]]:02d}", phrase, 0)


def _read_day(phrase: Phrase, match: re.Match[str]) -> str:
    weekday, day, month, year = match.group(1, 2, 3, 4)
    return _day(phrase, match, (year, _MONTHS[month], day, weekday), 2)


def _read_day_last(phrase: Phrase, match: re.Match[str]) -> str:
    weekday, month, day, year = match.group(1, 2, 3, 4)
    return _day(phrase, match, (year, _MONTHS[month], day, weekday), 3)


def _read_without_year(phrase: Phrase, match: re.Match[str]) -> str:
    raise phrase.refuse("the year is missing", match.end())


def _read_figures(phrase: Phrase, match: re.Match[str]) -> str:
    if int(match[2]) > 12:
        reason = f"there is no month {int(match[2])}; the day comes first here, then the month"
        raise phrase.refuse(reason, match.start(2))
    return _day(phrase, match, (match[3], int(match[2]), match[1], None), 1)


def _read_year_first(phrase: Phrase, match: re.Match[str]) -> str:
    if int(match[2]) > 12:
        raise phrase.refuse(f"there is no month {match[2]}", match.start(2))
    return _day(phrase, match, (match[1], int(match[2]), match[3], None), 3)


def _read_month_figures(phrase: Phrase, match: re.Match[str]) -> str:
    return checked(f"{match[2]}-{int(match[1]):02d}", phrase, match.start(1))


def _day(
    phrase: Phrase,
    match: re.Match[str],
    parts: tuple[str, int, str, str | None],
    day_group: int,
) -> str:
    year, month, day, weekday = parts
    edtf = f"{_full_year(year, phrase):04d}-{month:02d}-{int(day):02d}"
    checked(edtf, phrase, match.start(day_group))
    found = date.fromisoformat(edtf)
    if weekday and weekday_number(weekday) != found.weekday():
        right, wrong = WEEKDAYS[found.weekday()], WEEKDAYS[weekday_number(weekday)]
        raise phrase.refuse(f"that day is a {right}, not a {wrong}")
    return edtf


_DECADE = r"([0-9]{3}x|(?:[0-9]{4}|'?[0-9]0)'?s|" + "|".join(_DECADES) + ")"
_Reader = Callable[[Phrase, "re.Match[str]"], str]
_READERS: tuple[tuple[re.Pattern[str], _Reader], ...] = (
    (re.compile(r"([0-9]{4}|'[0-9]{2})"), _read_year),
    (re.compile(rf"(?:the\s+)?{_EARLY}?{_DECADE}"), _read_decade),
    (re.compile(rf"{_EARLY}{_YEAR}"), _read_third),
    (re.compile(rf"({'|'.join(_SEASONS)}){_OF}{_YEAR}"), _read_season),
    (re.compile(rf"q([1-4])\s*[ /]\s*{_YEAR}|([0-9]{{4}})\s*q([1-4])"), _read_quarter),
    (
        re.compile(rf"(?:the\s+)?({'|'.join(_ORDINALS)})\s+(half|quarter){_OF}{_YEAR}"),
        _read_part,
    ),
    (re.compile(rf"{_MONTH}{_OF}?{_YEAR}"), _read_month),
    (re.compile(rf"{_WEEKDAY}{_DAY}\s*(?:of\s+)?{_MONTH}{_OF}?{_YEAR}"), _read_day),
    (
        re.compile(rf"{_WEEKDAY}{_MONTH}\s+{_DAY}(?:,\s*|\s+)('[0-9]{{2}}|[0-9]{{4}})"),
        _read_day_last,
    ),
    (re.compile(rf"{_WEEKDAY}{_DAY}\s*(?:of\s+)?{_MONTH}"), _read_without_year),
    (re.compile(rf"{_WEEKDAY}{_MONTH}(?:\s+{_DAY})?"), _read_without_year),
    (re.compile(r"([0-9]{1,2})[/.-]\s?([0-9]{1,2})[/.-]\s?([0-9]{2}|[0-9]{4})"), _read_figures),
    (re.compile(r"([0-9]{4})[/.-]([0-9]{1,2})[/.-]([0-9]{1,2})"), _read_year_first),
    (re.compile(r"([0-9]{1,2})[/.]([0-9]{4})"), _read_month_figures),
)

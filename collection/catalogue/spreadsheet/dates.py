"""Days and years as inventories write them, read into EDTF text."""

import re
from collections.abc import Iterable
from datetime import date
from functools import lru_cache

from collection.catalogue.spreadsheet.headings import fold
from collection.catalogue.spreadsheet.refusal import CellRefused
from collection.core.partial_date import LONGEST, PartialDate, PartialDateError

FIRST_YEAR = 1850
MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "jan january januar janvier januari",
            "feb february februar fevrier fevr februari",
            "mar march marz maerz mrz mars maart mrt marts",
            "apr april avril avr",
            "may mai mei maj",
            "jun june juni juin",
            "jul july juli juillet juil",
            "aug august aout augustus",
            "sep sept september septembre",
            "oct okt october oktober octobre",
            "nov november novembre",
            "dec dez des december dezember desember decembre",
        ),
        start=1,
    )
    for name in names.split()
}
# Other languages, and habits of writing, turned into the English forms that are read.
SAID = tuple(
    (re.compile(pattern, re.IGNORECASE), replacement)
    for pattern, replacement in (
        (r"[–—−]", "-"),
        (r"[’‘`´]", "'"),
        (
            r"\b(ca|cca|circa|zirka|etwa|ungefähr|um|environ|vers|env|omstreeks|rond|omkring|rundt"
            r"|cirka|about|around|approx|approximately)\b\.?\s*(?='?\d)",
            "about ",
        ),
        (r"^c\.?\s*(?='?\d)", "about "),
        (r"\b(vor|avant|voor|før)\s+(?=\d)", "before "),
        (r"\b(nach|après|na|etter|efter)\s+(?=\d)", "after "),
        (
            r"\b(frühe|anfang|anfang der|début|début des années|début années|begin|vroege|tidlig"
            r"|tidligt|tidlige|starten af)\s+(?=(?:19)?\d0)",
            "early ",
        ),
        (r"\b(mitte|mitte der|milieu|milieu des années|midden|midt)\s+(?=(?:19)?\d0)", "mid "),
        (
            r"\b(späte|ende|ende der|fin|fin des années|eind|late|sen|slutningen af)\s+"
            r"(?=(?:19)?\d0)",
            "late ",
        ),
        (r"\b((?:19|20)?\d0)(?:er|erne|-tallet|-talet|'er|ern)(?:\s*jahren?|\s*jahre)?\b", r"\1s"),
        (r"\b(?:les )?années\s+(19)?(\d0)\b", r"\1\2s"),
        (r"\bjaren\s+'?(19)?(\d0)\b", r"\1\2s"),
    )
)
SHORT_YEAR = re.compile(r"'(\d\d)")
NEAR_YEARS = re.compile(r"(\d{4})-(\d\d)")
ISO_DAY = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[ T]\d\d?:\d\d.*)?")
NUMERIC_DAY = re.compile(r"(\d{1,2})\s*[-/.]\s*(\d{1,2})\s*[-/.]\s*'?(\d{4}|\d{2})")
DAY_OF_MONTH = re.compile(r"(\d{1,2})(?:st|nd|rd|th|er|\.)?\s*([^\W\d]+)\.?,?\s*'?(\d{4}|\d{2})")
MONTH_AND_DAY = re.compile(r"([^\W\d]+)\.?\s*(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})")
MONTH = re.compile(r"([^\W\d]+)\.?,?[\s-]*'?(\d{4}|\d{2})")
NUMERIC_MONTH = re.compile(r"(\d{1,2})\s*[/.]\s*(\d{4})")
BACKWARDS = re.compile(r"\D*(\d{4})\s*(?:-|/|to|bis)\s*(\d{4})\D*")
FIGURES_ONLY = re.compile(r"[\d./'-]+")
LONE_NUMBER = re.compile(r"\d+")


def months_come_first(cells: Iterable[str]) -> bool:
    """A column is month-first when some date can only be so and none can only be day-first."""
    days = [found for cell in cells if (found := NUMERIC_DAY.fullmatch(cell.strip()))]
    return any(int(day.group(2)) > 12 for day in days) and all(
        int(day.group(1)) <= 12 for day in days
    )


@lru_cache(maxsize=16384)
def read_date(text: str, *, today: date, month_first: bool) -> str:
    """EDTF text as precise as the date was written, between 1850 and today.

    Raises:
        CellRefused: unreadable, no such day, not plausible, or still to come.
    """
    said = " ".join(text.split())
    if len(said) > LONGEST:
        raise CellRefused(f"a date has at most {LONGEST} characters")
    if not FIGURES_ONLY.fullmatch(said):
        for pattern, replacement in SAID:
            said = pattern.sub(replacement, said)
    edtf = _calendar_date(said, today=today, month_first=month_first)
    if edtf is None:
        _refuse_nonsense(said, today)
    try:
        when = PartialDate.read(edtf or said)
    except PartialDateError as error:
        raise CellRefused(f"this date cannot be read: {error.reason}") from None
    _refuse_implausible(when, today)
    return when.text


def _calendar_date(said: str, *, today: date, month_first: bool) -> str | None:
    """EDTF of a day or a month; None when the text is written in some other way."""
    if found := SHORT_YEAR.fullmatch(said):
        return f"{_full_year(found.group(1), today):04}"
    if found := NEAR_YEARS.fullmatch(said):
        return _near_years(*found.groups())
    if found := ISO_DAY.fullmatch(said):
        return _day(*map(int, found.groups()))
    if found := NUMERIC_DAY.fullmatch(said):
        day, month = int(found.group(1)), int(found.group(2))
        if month_first:
            day, month = month, day
        return _day(_full_year(found.group(3), today), month, day)
    if (found := DAY_OF_MONTH.fullmatch(said)) and (month := _month(found.group(2))):
        return _day(_full_year(found.group(3), today), month, int(found.group(1)))
    if (found := MONTH_AND_DAY.fullmatch(said)) and (month := _month(found.group(1))):
        return _day(int(found.group(3)), month, int(found.group(2)))
    if (found := MONTH.fullmatch(said)) and (month := _month(found.group(1))):
        return f"{_full_year(found.group(2), today):04}-{month:02}"
    if (found := NUMERIC_MONTH.fullmatch(said)) and 1 <= int(found.group(1)) <= 12:
        return f"{found.group(2)}-{int(found.group(1)):02}"
    return None


def _near_years(first: str, last: str) -> str | None:
    """'1938-41': nobody writes a half-year by its number in an inventory, so it is a range."""
    is_range = 21 <= int(last) <= 41 and int(first[2:]) < int(last)
    return f"{first}/{first[:2]}{last}" if is_range else None


def _day(year: int, month: int, day: int) -> str:
    if not 1 <= month <= 12:
        raise CellRefused(f"there is no month {month}")
    try:
        return date(year, month, day).isoformat()
    except ValueError:
        raise CellRefused("there is no such day") from None


def _month(word: str) -> int | None:
    return MONTHS.get(fold(word))


def _full_year(digits: str, today: date) -> int:
    """Two digits mean the latest such year that is not to come."""
    if len(digits) == 4:
        return int(digits)
    year = today.year // 100 * 100 + int(digits)
    return year if year <= today.year else year - 100


def _refuse_nonsense(said: str, today: date) -> None:
    if LONE_NUMBER.fullmatch(said) and not (
        len(said) == 4 and FIRST_YEAR <= int(said) <= today.year
    ):
        raise CellRefused(f"not a year between {FIRST_YEAR} and {today.year}")
    if (found := BACKWARDS.fullmatch(said)) and int(found.group(2)) < int(found.group(1)):
        raise CellRefused("the range ends before it begins")


def _refuse_implausible(when: PartialDate, today: date) -> None:
    if when.earliest and when.earliest > today:
        raise CellRefused("the date is still to come")
    years = [bound.year for bound in (when.earliest, when.latest) if bound]
    if any(not FIRST_YEAR <= year <= today.year for year in years):
        raise CellRefused(f"not between {FIRST_YEAR} and {today.year}")

"""Dates in factory codes of tubes and capacitors, which are no source-date codes.

They date the part and never bound when a piece was built (tubes are replaced all the time). Each
form is read on its own: nothing on a part says which form it follows, so the caller does.

Source: as named in each function.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from collection.core.edtf_grammar import MONTHS

_TUBE = re.compile(r"([A-Z])([0-9])([A-L])([1-5])?", re.ASCII)
_CAPACITOR = re.compile(r"([A-HJ-NP-X])([1-9OND])", re.ASCII)
_FIRST_TUBE_YEAR, _WEEK_DIGIT_FROM, _LAST_TUBE_YEAR = 1956, 1960, 1979
_CAPACITOR_YEARS: Final = "ABCDEFHJKLMNPRSTUVWX"
CODED_YEARS: Final = (1970, 2009)  # house range where no design narrows it
_LAST_MONTHS: Final = {"O": 10, "N": 11, "D": 12}


@dataclass(frozen=True)
class FactoryDate:
    """Year and month as coded: every year that fits, oldest first; `factory` '' where not coded."""

    factory: str
    years: tuple[int, ...]
    month: int
    week_of_month: int | None = None

    def sentence(self) -> str:
        """Month and year in words: 'April 1960', 'December 1968 or 1978, week 2'."""
        years = " or ".join(str(year) for year in self.years)
        week = f", week {self.week_of_month}" if self.week_of_month else ""
        return f"{MONTHS[self.month - 1]} {years}{week}"


def tube_date(mark: str) -> FactoryDate:
    """Date of a tube of the Philips group: factory letter, year digit, month A to L, week digit.

    Three characters were used from 1956 to about 1960, four from about 1960 on, so B0D may be 1960;
    four characters are read for 1960 to 1979. Only the factory letter B (Blackburn) was read.

    Raises:
        ValueError: another form.

    Source: tubemaze.info; the end of the second range is a house limit.

    >>> tube_date("B0D").years
    (1960,)
    """
    found = _TUBE.fullmatch(mark.strip().upper())
    if found is None:
        raise ValueError(f"no factory date: {mark!r} is not letter, digit, month A to L, week")
    factory, year, month, week = found.groups()
    first, last = (
        (_WEEK_DIGIT_FROM, _LAST_TUBE_YEAR) if week else (_FIRST_TUBE_YEAR, _WEEK_DIGIT_FROM)
    )
    years = tuple(y for y in range(first, last + 1) if y % 10 == int(year))
    if not years:
        raise ValueError(f"no factory date: {mark!r} has no week, and its year is not 1956 to 1960")
    return FactoryDate(factory, years, ord(month) - ord("A") + 1, int(week) if week else None)


def capacitor_date(mark: str, *, span: tuple[int, int]) -> FactoryDate:
    """Date of a capacitor marked after IEC 60062: a year letter, then 1 to 9, O, N or D.

    Year letters repeat every 20 years (A is 1970 and 1990), so every year inside `span` is kept.

    Raises:
        ValueError: another form, or no year inside the span.

    Source: IEC 60062, from memory.

    >>> capacitor_date("N6", span=(1970, 1989)).years
    (1981,)
    """
    found = _CAPACITOR.fullmatch(mark.strip().upper())
    place = -1 if found is None else _CAPACITOR_YEARS.find(found[1])
    if found is None or place < 0:
        raise ValueError(f"no capacitor date: {mark!r} is not a year letter and a month")
    years = tuple(y for y in range(span[0], span[1] + 1) if (y - 1970) % 20 == place)
    if not years:
        raise ValueError(f"no capacitor date: {mark!r} fits no year from {span[0]} to {span[1]}")
    return FactoryDate("", years, _LAST_MONTHS.get(found[2]) or int(found[2]))


def otherwise(mark: str, span: tuple[int, int] | None) -> Iterator[str]:
    """What a mark says on a tube and on a capacitor, a sentence each; nothing where it fits none.

    `span`: first and last year of the design, which narrows the year letter of a capacitor.

    >>> list(otherwise("B0D", None))
    ['On a tube of the Philips group: April 1960. A tube dates itself, never the piece.']
    """
    try:
        said = tube_date(mark).sentence()
        yield f"On a tube of the Philips group: {said}. A tube dates itself, never the piece."
    except ValueError:
        pass
    try:
        said = capacitor_date(mark, span=span or CODED_YEARS).sentence()
        yield f"On a capacitor marked after IEC 60062: {said}."
    except ValueError:
        pass

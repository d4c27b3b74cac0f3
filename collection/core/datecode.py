"""When a part was made: source-date codes as stamped on pots, speakers, transformers and cans.

A code is the maker's number (2 to 4 digits; 1 where a separator follows it), the year (its last
digit or last two) and the week (01 to 53), in 4 to 8 digits. Nothing on the part says where one
ends and the next begins, or which decade a one-digit year means, so every split and every decade
is kept; known makers stand first, then splits that the separators on the part bear out.

Spaces and dashes do not count otherwise, nor does what follows from the first letter on (plants,
shifts). An unreadable digit gives no reading. A one-digit year was allowed at any time, so it does
not prove an early date. A two-digit year below 45 is taken for 20yy: the scheme's list ended in
2001, yet some makers still mark so, and such a part is most likely a later one.

Coded weeks are not ISO weeks: the trade body's own example, 113-9910, is 7 to 13 March 1999, a
Sunday to a Saturday. No rule for the first week was found, so a week may lie seven days off.

Source: EIA-476-A (1987) and the explanation of source and date codes at ecianow.org; the stamps
after dating articles named in the tests. Not every maker joined in: a mark that does not fit is
not to be forced.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from collection.core.source_codes import SOURCE_CODES

FIRST_YEAR: Final = 1945
LIST_ENDED: Final = 2001
WEEK_MAY_BE_OFF: Final = timedelta(days=7)

_BREAK = r"[\s\-\u2010-\u2015\u2212]"
_CODE = re.compile(rf"{_BREAK}*((?:[0-9]{_BREAK}*)+)(?:[A-Za-z].*)?", re.ASCII | re.DOTALL)
_LAST_WEEK = 53
_MAKER_DIGITS = (2, 3, 4)
_USUAL_DIGITS = 3


@dataclass(frozen=True)
class Reading:
    """One way to read a mark.

    `maker` is None where the number is on no list; `years` holds every year that fits, oldest
    first; `split` shows maker, year and week as read: '304-7-28'.
    """

    maker_code: str
    maker: str | None
    years: tuple[int, ...]
    week: int
    split: str

    @property
    def earliest(self) -> date:
        """First day that the week can mean in the first year, seven days allowed."""
        return week_bounds(self.years[0], self.week)[0]

    @property
    def latest(self) -> date:
        """Last day that the week can mean in the last year, seven days allowed."""
        return week_bounds(self.years[-1], self.week)[1]

    def sentence(self) -> str:
        """Maker, week and years in words: 'Stackpole, week 28 of 1957 or 1967'."""
        *others, last = (str(year) for year in self.years)
        years = f"{', '.join(others)} or {last}" if others else last
        return f"{self.maker or f'maker {self.maker_code}'}, week {self.week} of {years}"


def readings(mark: str, *, span: tuple[int, int] | None = None) -> tuple[Reading, ...]:
    """Every way to read a mark as a source-date code, the likeliest first.

    Args:
        mark: as seen on the part.
        span: first and last year in which the part can have been made; years outside are dropped.
            Without it every year from 1945 to 2001 stays open for a one-digit year.

    Raises:
        ValueError: 'no source-date code' where no reading is left; a span that ends before it
            begins.

    >>> [reading.split for reading in readings("304728", span=(1960, 1969))]
    ['304-7-28']
    """
    if span is not None and span[0] > span[1]:
        raise ValueError(f"The span ends ({span[1]}) before it begins ({span[0]}).")
    found = _CODE.fullmatch(mark) if isinstance(mark, str) else None
    ways = [] if found is None else [*_ways(found[1], span)]
    if not ways:
        within = "" if span is None else f" for {span[0]} to {span[1]}"
        raise ValueError(f"no source-date code: {mark!r} has no reading{within}")
    return tuple(reading for _, reading in sorted(ways, key=lambda way: way[0]))


def week_bounds(year: int, week: int) -> tuple[date, date]:
    """First and last day that a coded week can mean, seven days allowed on both sides.

    The nominal week 1 begins on the first Sunday of the year, as the published example has it.
    """
    new_year = date(year, 1, 1)
    first_sunday = new_year + timedelta(days=-(new_year.weekday() + 1) % 7)
    begins = first_sunday + timedelta(weeks=week - 1)
    return begins - WEEK_MAY_BE_OFF, begins + timedelta(days=6) + WEEK_MAY_BE_OFF


_Rank = tuple[bool, bool, bool, int]


def _ways(code: str, span: tuple[int, int] | None) -> Iterator[tuple[_Rank, Reading]]:
    """Readings with their rank: known makers, then as separated, then the usual three digits."""
    digits = re.sub(_BREAK, "", code)
    # Places in `digits` before which a separator stands.
    parted = {len(re.sub(_BREAK, "", code[: at.start()])) for at in re.finditer(_BREAK, code)}
    parted -= {0, len(digits)}
    for year_digits in (1, 2):
        at = len(digits) - 2 - year_digits
        if at not in _MAKER_DIGITS and not (at == 1 and 1 in parted):
            continue
        reading = _reading(digits[:at], digits[at:-2], digits[-2:], span)
        if reading is not None:
            is_parted_elsewhere = not parted <= {at, len(digits) - 2}
            yield (reading.maker is None, is_parted_elsewhere, at != _USUAL_DIGITS, -at), reading


def _reading(maker_code: str, year: str, week: str, span: tuple[int, int] | None) -> Reading | None:
    years = tuple(y for y in _years(year) if span is None or span[0] <= y <= span[1])
    if not years or not 1 <= int(week) <= _LAST_WEEK:
        return None
    known = SOURCE_CODES.get(maker_code)
    return Reading(
        maker_code=maker_code,
        maker=known.maker if known else None,
        years=years,
        week=int(week),
        split=f"{maker_code}-{year}-{week}",
    )


def _years(year: str) -> tuple[int, ...]:
    if len(year) == 2:
        return (1900 + int(year) if int(year) >= FIRST_YEAR % 100 else 2000 + int(year),)
    return tuple(y for y in range(FIRST_YEAR, LIST_ENDED + 1) if y % 10 == int(year))

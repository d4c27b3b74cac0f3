"""The grammar of dates with doubt: what a text means as a window of days.

Levels 0 and 1 of the Extended Date/Time Format within the years 0001 to 9999, and of level 2:
one-of and all-of sets, marks on single parts, X for any digit anywhere, sub-year groupings 25-41.

Bounds carry no margin for `~` and `?`: the specification gives none. House rules: the seasons 21-24
stand for the whole year, since the specification gives them no months; times count as their day.

Source: Library of Congress, Extended Date/Time Format Specification (4 February 2019), the profile
of ISO 8601-2:2019 Annex A. `fixtures/vectors/edtf.json` lists its strings with bounds.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from itertools import product
from typing import NamedTuple

from collection.core.edtf_refusal import MARK, PartialDateError, explain

LONGEST = 64  # characters; more is no date, and no form field should cost time

MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)

_PART = rf"({MARK})([0-9X]{{2}})({MARK})"
_PLAIN = re.compile(r"([0-9]{4})(?:-(0[1-9]|1[0-2])(?:-([0-9]{2}))?)?([?~%]?)").fullmatch
_DATE = re.compile(rf"({MARK})([0-9X]{{4}})({MARK})(?:-{_PART}(?:-{_PART})?)?")
_TIMED = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})T([0-9]{2}):([0-9]{2}):([0-9]{2})"
    r"(?:Z|[+-]([0-9]{2})(?::([0-9]{2}))?)?"
)
_TIME_LIMITS = ((2, 23, "hour"), (3, 59, "minute"), (4, 59, "second"))
_DAYS = (0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)

# First month and last month of each grouping; a last month beyond 12 lies in the next year.
GROUPINGS = {
    **dict.fromkeys((21, 22, 23, 24), (1, 12)),
    **dict(zip((25, 26, 27, 28), ((3, 5), (6, 8), (9, 11), (12, 14)), strict=True)),
    **dict(zip((29, 30, 31, 32), ((9, 11), (12, 14), (3, 5), (6, 8)), strict=True)),
    **dict(zip((33, 34, 35, 36), ((1, 3), (4, 6), (7, 9), (10, 12)), strict=True)),
    **dict(zip((37, 38, 39, 40, 41), ((1, 4), (5, 8), (9, 12), (1, 6), (7, 12)), strict=True)),
}


class Window(NamedTuple):
    """The days a text may mean; a bound is None exactly where its end is open or unknown."""

    earliest: date | None
    latest: date | None
    marks: str = ""
    open_start: bool = False
    open_end: bool = False
    unknown_start: bool = False
    unknown_end: bool = False


def window(text: object) -> Window:
    """What a whole text means. Raises PartialDateError."""
    if not isinstance(text, str):
        raise PartialDateError(f"a date is text, not {type(text).__name__}", 0)
    if not text:
        raise PartialDateError("there is no date here", 0)
    if len(text) > LONGEST:
        raise PartialDateError(f"a date has at most {LONGEST} characters", LONGEST)
    if text[0] in "[{":
        return _of_set(text)
    if "/" in text:
        return _of_interval(text)
    if "T" in text:
        return _of_time(text)
    return _of_date(text, 0)


def last_day(year: int, month: int) -> int:
    """The number of days in a month of the Gregorian calendar, also before it was in use."""
    if month == 2 and year % 4 == 0 and (year % 100 != 0 or year % 400 == 0):
        return 29
    return _DAYS[month]


def month_span(year: int, first: int, last: int, at: int) -> tuple[date, date]:
    """First and last day of the months `first` to `last`; 13 and 14 lie in the next year."""
    end_year, end_month = (year, last) if last <= 12 else (year + 1, last - 12)
    if end_year > 9999:
        raise PartialDateError("this season runs beyond the year 9999", at)
    return date(year, first, 1), date(end_year, end_month, last_day(end_year, end_month))


# -- single dates ----------------------------------------------------------------------------


def plain_bounds(text: str) -> tuple[date, date, str] | None:
    """Bounds and mark of a year, month or day in figures, at most marked at its end; else None.

    Nearly every date is one of these, so they are read without the full grammar.
    """
    match = _PLAIN(text)
    if match is None:
        return None
    year_text, month_text, day_text, mark = match.groups()
    year = int(year_text)
    if year == 0:
        return None
    if month_text is None:
        return date(year, 1, 1), date(year, 12, 31), mark
    month = int(month_text)
    if day_text is None:
        return date(year, month, 1), date(year, month, last_day(year, month)), mark
    if not 0 < int(day_text) <= last_day(year, month):
        return None
    day = date(year, month, int(day_text))
    return day, day, mark


def _of_date(text: str, at: int) -> Window:
    plain = plain_bounds(text)
    if plain is not None:
        return Window(*plain)
    match = _DATE.fullmatch(text)
    if match is None:
        explain(text, at)
    groups = match.groups()
    year, month, day = groups[1::3]
    marks = "".join(filter(None, groups[0::3] + groups[2::3]))
    if len(marks) > 1:
        _refuse_double_marks(match, at)
    if year == "0000":
        raise PartialDateError("there is no year 0000; years run from 0001 to 9999", at)
    if month is None:
        return Window(date(_lowest(year), 1, 1), date(_highest(year), 12, 31), marks)
    month_at, day_at = at + match.start(5), at + match.start(8)
    if month.isdigit() and int(month) in GROUPINGS:
        return Window(*_grouping(year, month, day, month_at), marks)
    months = _matching(month, 12)
    if not months:
        raise PartialDateError(f"there is no month {month}", month_at)
    if day is None:
        first = date(_lowest(year), months[0], 1)
        return Window(first, month_span(_highest(year), months[-1], months[-1], at)[1], marks)
    days = _matching(day, 31)
    if not days:
        raise PartialDateError(f"there is no day {day}", day_at)
    return Window(*_nearest_real_days(year, months, days, day_at), marks)


def _refuse_double_marks(match: re.Match[str], at: int) -> None:
    for before, after in ((1, 3), (4, 6), (7, 9)):
        if match.group(before) and match.group(after):
            reason = "a part takes one mark, before or behind it; % means both ? and ~"
            raise PartialDateError(reason, at + match.start(after))


def _grouping(year: str, code: str, day: str | None, at: int) -> tuple[date, date]:
    if day is not None:
        raise PartialDateError(f"{code} is a season or a part of a year and has no days", at + 2)
    first, last = GROUPINGS[int(code)]
    start = date(_lowest(year), first, 1)
    return start, month_span(_highest(year), first, last, at)[1]


def _lowest(year: str) -> int:
    # There is no year 0000, so there the last X is a 1: X000 begins in 1000.
    head, _, tail = year.rpartition("X")
    return int(year.replace("X", "0")) or int(head.replace("X", "0") + "1" + tail)


def _highest(year: str) -> int:
    return int(year.replace("X", "9"))


@cache
def _matching(pattern: str, highest: int) -> tuple[int, ...]:
    tens, units = pattern[0], pattern[1]
    return tuple(
        number
        for number in range(1, highest + 1)
        if tens in ("X", str(number // 10)) and units in ("X", str(number % 10))
    )


def _nearest_real_days(
    year: str, months: tuple[int, ...], days: tuple[int, ...], at: int
) -> tuple[date, date]:
    if days[0] > max(last_day(2000, month) for month in months):
        named = MONTHS[months[0] - 1] if len(months) == 1 else "any such month"
        raise PartialDateError(f"there is no such day in {named}", at)
    rising = (_real_day(number, months, days) for number in _years(year, "0123456789"))
    first = next(filter(None, rising), None)
    falling = (_real_day(number, months[::-1], days[::-1]) for number in _years(year, "9876543210"))
    last = next(filter(None, falling), None)
    if first is None or last is None:
        raise PartialDateError("29 February only comes in leap years", at)
    return first, last


def _years(pattern: str, digits: str) -> Iterator[int]:
    # Lazily: nearly always the first year tried has the day that is looked for.
    places = [digits if digit == "X" else digit for digit in pattern]
    return filter(None, (int("".join(figures)) for figures in product(*places)))


def _real_day(year: int, months: tuple[int, ...], days: tuple[int, ...]) -> date | None:
    for month in months:
        for day in days:
            if day <= last_day(year, month):
                return date(year, month, day)
    return None


def _of_time(text: str) -> Window:
    match = _TIMED.fullmatch(text)
    if match is None:
        reason = "a time is written 1985-04-12T23:20:30, then nothing, Z, +04 or +04:30"
        raise PartialDateError(reason, text.index("T"))
    for group, highest, name in _TIME_LIMITS:
        if int(match.group(group)) > highest:
            raise PartialDateError(f"there is no {name} {match.group(group)}", match.start(group))
    if int(match.group(5) or 0) > 14 or int(match.group(6) or 0) > 59:
        raise PartialDateError("no place is that far from UTC", match.start(5))
    return _of_date(match.group(1), 0)


# -- intervals and sets ----------------------------------------------------------------------


def _of_interval(text: str) -> Window:
    first, _, last = text.partition("/")
    if "/" in last:
        second = len(first) + 1 + last.index("/")
        raise PartialDateError("a range has two ends and one stroke", second)
    if first in ("", "..") and last in ("", ".."):
        raise PartialDateError("at least one end of a range must be a date", 0)
    start, end = _of_end(first, 0), _of_end(last, len(first) + 1)
    _refuse_reversed(start, end, len(first) + 1)
    return Window(
        start.earliest if start else None,
        end.latest if end else None,
        (start.marks if start else "") + (end.marks if end else ""),
        first == "..",
        last == "..",
        first == "",
        last == "",
    )


def _of_end(text: str, at: int) -> Window | None:
    if text in ("", ".."):
        return None
    if "T" in text:
        raise PartialDateError("the ends of a range are days, months or years, without times", at)
    return _of_date(text, at)


def _refuse_reversed(start: Window | None, end: Window | None, at: int) -> None:
    if start and end and start.earliest and end.earliest and start.earliest > end.earliest:
        raise PartialDateError("the range ends before it starts", at)


def _of_set(text: str) -> Window:
    closing = "]" if text[0] == "[" else "}"
    if text[-1] != closing or len(text) < 3:
        raise PartialDateError(f"a set that opens with {text[0]} closes with {closing}", len(text))
    members = []
    at = 1
    parts = text[1:-1].split(",")
    for place, part in enumerate(parts):
        members.append(_of_member(part, at, (place == 0, place == len(parts) - 1)))
        at += len(part) + 1
    if members[0].open_start and members[-1].open_end:
        raise PartialDateError("a set that is open at both ends says nothing", 0)
    return Window(
        None if members[0].open_start else min(m.earliest for m in members if m.earliest),
        None if members[-1].open_end else max(m.latest for m in members if m.latest),
        "".join(member.marks for member in members),
        members[0].open_start,
        members[-1].open_end,
    )


def _of_member(text: str, at: int, edge: tuple[bool, bool]) -> Window:
    first, dots, last = text.partition("..")
    if not dots:
        return _of_date(text, at)
    last_at = at + len(first) + 2
    if not first and not last:
        raise PartialDateError("'..' needs a date on one side", at)
    if not first:
        if not edge[0]:
            raise PartialDateError("only the first of a set may be open at its start", at)
        return _of_date(last, last_at)._replace(earliest=None, open_start=True)
    if not last:
        if not edge[1]:
            raise PartialDateError("only the last of a set may be open at its end", last_at)
        return _of_date(first, at)._replace(latest=None, open_end=True)
    start, end = _of_date(first, at), _of_date(last, last_at)
    _refuse_reversed(start, end, last_at)
    return Window(start.earliest, end.latest, start.marks + end.marks)

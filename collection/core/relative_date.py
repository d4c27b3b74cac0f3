"""Words that count from today: 'yesterday', 'last Tuesday', '3 days ago'.

House rules: 'last night' is yesterday; 'last Tuesday' is the newest Tuesday before today; a week
starts on Monday; days ago are exact, weeks ago give a day that is about right, months and years ago
a month or year that is about right.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

from collection.core.edtf_refusal import PartialDateError

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
WEEKDAY = (
    "(mon(?:day)?|tue(?:s|sday)?|wed(?:s|nesday)?|thu(?:r|rs|rsday)?"
    "|fri(?:day)?|sat(?:urday)?|sun(?:day)?)"
)
_DAYS_OFF = {
    **dict.fromkeys(("today", "now", "tonight", "just now", "this morning"), 0),
    **dict.fromkeys(("this afternoon", "this evening"), 0),
    **dict.fromkeys(("yesterday", "last night", "yesterday evening", "yesterday morning"), -1),
    **dict.fromkeys(("the day before yesterday", "day before yesterday"), -2),
    "tomorrow": 1,
}
_NUMBERS = {
    **{"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6},
    **{"seven": 7, "eight": 8, "nine": 9, "ten": 10, "a couple of": 2},
}
_LAST_DAY = re.compile(rf"(?:on\s+)?last\s+{WEEKDAY}")
_SPAN = re.compile(r"(last|this)\s+(week|month|year)")
_AGO = re.compile(rf"([0-9]{{1,3}}|{'|'.join(_NUMBERS)})\s+(day|week|month|year)s?\s+ago")


def counted_from(text: str, today: date | None, *, at: int) -> str | None:
    """The EDTF text for lower-case words that count from `today`; None for other words.

    `at` is where the words stand in what was typed. Raises PartialDateError when `today` is not
    given, and for days before year 1.
    """
    last_day, span, ago = (p.fullmatch(text) for p in (_LAST_DAY, _SPAN, _AGO))
    if text not in _DAYS_OFF and not (last_day or span or ago):
        return None
    if today is None:
        reason = f"'{text}' counts from the day it was written, which is not known here"
        raise PartialDateError(f"{reason}; write the date itself", at)
    try:
        if last_day:
            back = (today.weekday() - weekday_number(last_day[1]) - 1) % 7 + 1
            return (today - timedelta(days=back)).isoformat()
        if span:
            return _span(span[1] == "last", span[2], today)
        if ago:
            return _ago(int(_NUMBERS.get(ago[1], 0) or ago[1]), ago[2], today)
        return (today + timedelta(days=_DAYS_OFF[text])).isoformat()
    except (OverflowError, ValueError):
        raise PartialDateError("that is outside the years 0001 to 9999", at) from None


def weekday_number(name: str) -> int:
    """0 for a lower-case 'mon', 'monday', … 6 for 'sun'."""
    return [day[:3].lower() for day in WEEKDAYS].index(name[:3])


def _span(last: bool, unit: str, today: date) -> str:
    if unit == "week":
        monday = today - timedelta(days=today.weekday() + 7 * last)
        end = monday + timedelta(days=6) if last else today
        return f"{monday.isoformat()}/{end.isoformat()}"
    if unit == "month":
        return _month(today, int(last))
    return f"{today.year - last:04d}"


def _ago(count: int, unit: str, today: date) -> str:
    if unit == "day":
        return (today - timedelta(days=count)).isoformat()
    if unit == "week":
        return (today - timedelta(weeks=count)).isoformat() + "~"
    if unit == "month":
        return _month(today, count) + "~"
    return f"{date(today.year - count, 1, 1).year:04d}~"


def _month(today: date, back: int) -> str:
    year, month = divmod(today.year * 12 + today.month - 1 - back, 12)
    return date(year, month + 1, 1).isoformat()[:7]

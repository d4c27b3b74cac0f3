"""Dates as technicians type them, turned into EDTF text.

The forms that are read, each a **house rule** where English leaves room:

- 'about', 'around', 'c.', 'ca', 'circa', 'approx', 'or so' -> `~`; 'possibly', 'probably', 'maybe',
  'perhaps', a trailing '?' -> `?`; both -> `%`. With a range they mark both ends.
- '1961', "'59", '1960s', "'60s", 'sixties', '196x'. Two digits mean a year of the hundred years
  that end in 2029, or three years after `today` once that is later. '1800s' and '1900s' are taken
  for the whole hundred years.
- 'early', 'mid', 'late' with a decade: years 0-3, 4-6, 7-9 of it (`1960/1963`); with a year: its
  first, second, third four months (`1961-37`).
- 'before', 'until', 'by', 'pre' -> `../1970`; 'after', 'since', 'from', 'post', 'or later' ->
  `1970/..`. The year named stays possible: a wide reading does not shut out a true date.
- '1961/62', '1958-60', '1964 to 1970', 'between A and B', '9-11 June 2019' -> a range;
  '1959 or 1961' -> one of.
- 'Mar 1961', '9 Jun 2019', 'June 9, 2019', 'Tue 24 Nov 2026' (the weekday is checked), 'spring
  1961', 'Q1 1961', 'first half of 1961'.
- '14/08/2025', '14.8.25', '08/2025': always day first, then month. '2025/8/14' is year first.
- Only with `today`: 'yesterday', 'last Tuesday', '3 days ago' and the like; see `relative_date`.

Anything that is EDTF already stays as it is, and goes before all of the above. One exception:
'1938-41' is EDTF for the second half of 1938 and English for three years, so it is refused.
"""

from __future__ import annotations

import re
from datetime import date

from collection.core.edtf_grammar import LONGEST, window
from collection.core.edtf_refusal import PartialDateError
from collection.core.spoken_form import Phrase, checked, single_form

_SAME_LENGTH = str.maketrans("’‘ʼ`–—−‐‑\u00a0\t", "''''-----  ")
_UNREAD = (
    "write for example 'about 1961', 'early 60s', '1958 to 1960', 'before 1970' or '9 Jun 2019'"
)
_ABOUT = r"about|around|approximately|approx\.?|roughly|circa|ca\.?|c\.?|some time around|~"
_PERHAPS = r"possibly|probably|perhaps|maybe|might be"
_BEFORE = r"on or before|before|until|till|up to|by|not after|no later than|not later than|pre"
_AFTER = r"after|since|from|not before|no earlier than|not earlier than|post"
_PREFIX = re.compile(rf"(?:(?P<a>{_ABOUT})|(?P<p>{_PERHAPS}))(?:\s+|(?<=[.~c])\s*(?=['0-9]))")
_SUFFIX = re.compile(r"\s*(?:(?P<p>\?|\(\?\))|(?P<a>,? or so|-?ish|\(approx\.?\)))$")
_EDGE = re.compile(rf"(?:(?P<b>{_BEFORE})|(?P<a>{_AFTER}))\s+")
_BEHIND = re.compile(
    r"\s+(?:(?P<b>(?:or|and) (?:before|earlier))|(?P<a>(?:or|and) (?:after|later)|onwards?|on))$"
)
_ONWARDS = re.compile(r"\s+on(?:wards?)?$")
_FILLER = re.compile(r"(?:the|in|on|during|made in|made)\s+")
_BETWEEN = re.compile(r"between\s+(.+?)\s+and\s+(.+)|from\s+(.+?)\s+(?:to|till|until)\s+(.+)")
_SPACED = re.compile(r"(.+?)\s+(?:to|till|through|-)\s+(.+)")
_TIGHT = re.compile(r"([^-/]+?)\s*[-/]\s*([^-/]+)")
_EITHER = re.compile(r"(?:either\s+)?(.+?)\s+or\s+(.+)")
_NEAR_YEARS = re.compile(r"([0-9]{4})-([234][0-9])")
_TOKEN = re.compile(r"([0-9X][0-9X-]*)([?~%]?)")


def as_edtf(text: object, *, today: date | None) -> str:
    """The EDTF text for a typed one. Raises PartialDateError with the place in what was typed."""
    if not isinstance(text, str) or not text.strip() or len(text) > LONGEST:
        window(text.strip() if isinstance(text, str) and len(text) <= LONGEST else text)
    whole = Phrase(str(text), 0, today).part(0)
    refusal = _why_not_edtf(whole)
    if refusal is None:
        _refuse_near_years(whole)
        return whole.text
    lowered = whole.text.translate(_SAME_LENGTH).lower()
    if len(lowered) != len(whole.text) or not any(map(str.isalnum, lowered)):
        raise refusal
    only_figures = not any(map(str.isalpha, lowered)) and "'" not in lowered
    try:
        return _read(whole._replace(text=lowered))
    except PartialDateError as error:
        unread = error.reason is _UNREAD and error.position == whole.at
        raise (refusal if unread and only_figures else error) from None


def _why_not_edtf(phrase: Phrase) -> PartialDateError | None:
    try:
        window(phrase.text)
    except PartialDateError as error:
        return phrase.refuse(error.reason, error.position)
    return None


def _refuse_near_years(phrase: Phrase) -> None:
    match = _NEAR_YEARS.fullmatch(phrase.text)
    if match and 0 < int(match[2]) - int(match[1]) % 100 < 20:
        until = match[1][:2] + match[2]
        raise phrase.refuse(
            f"this may mean {match[1]} to {until} or a season or part of {match[1]}; "
            f"write '{match[1]} to {until}' or name the season",
            4,
        )


def _read(phrase: Phrase) -> str:
    if not phrase.text:
        raise phrase.refuse("a date is missing here")
    for attempt in (_doubted, _ranged, _edged, single_form, _split, _either):
        found = attempt(phrase)
        if found is not None:
            return found
    filler = _FILLER.match(phrase.text)
    if filler:
        return _read(phrase.part(filler.end()))
    raise phrase.refuse(_UNREAD)


# -- doubt, edges, ranges --------------------------------------------------------------------


def _doubted(phrase: Phrase) -> str | None:
    match = _PREFIX.match(phrase.text)
    if match:
        return _marked(phrase.part(match.end()), "~" if match["a"] else "?")
    match = _SUFFIX.search(phrase.text)
    if match and match.start():
        return _marked(phrase.part(0, match.start()), "~" if match["a"] else "?")
    return None


def _marked(phrase: Phrase, mark: str) -> str:
    def joined(match: re.Match[str]) -> str:
        bare, old = match[1], match[2]
        return bare + (mark if old in ("", mark) else "%")

    return _TOKEN.sub(joined, _read(phrase))


def _edged(phrase: Phrase) -> str | None:
    match = _EDGE.match(phrase.text)
    behind = None if match else _BEHIND.search(phrase.text)
    if match:
        onwards = _ONWARDS.search(phrase.text)
        edtf = _read(phrase.part(match.end(), onwards.start() if onwards else None))
    elif behind:
        edtf = _read(phrase.part(0, behind.start()))
        match = behind
    else:
        return None
    ends = edtf.split("/")
    if edtf[0] in "[{" or ".." in ends:
        raise phrase.refuse("an open end needs one plain date", match.start())
    return f"../{ends[-1]}" if match["b"] else f"{ends[0]}/.."


def _ranged(phrase: Phrase) -> str | None:
    match = _BETWEEN.fullmatch(phrase.text)
    if match:
        return _range(phrase, match, (1, 2) if match[1] else (3, 4))
    # 'up to 1970' is no range from 'up'.
    match = None if _EDGE.match(phrase.text) else _SPACED.fullmatch(phrase.text)
    return _range(phrase, match, (1, 2)) if match else None


def _split(phrase: Phrase) -> str | None:
    match = _TIGHT.fullmatch(phrase.text)
    if match is None:
        return None
    if re.fullmatch(r"[0-9]{4}\s*/\s*(?:0[1-9]|1[0-2])", phrase.text):
        raise phrase.refuse(
            "this may be a year and a month or two years; write '1908 to 1912' or 'Dec 1908'",
            match.start(2),
        )
    return _range(phrase, match, (1, 2))


def _range(phrase: Phrase, match: re.Match[str], groups: tuple[int, int]) -> str:
    first, last = (phrase.part(*match.span(group)) for group in groups)
    if re.fullmatch(r"[0-9]{2}", last.text) and re.search(r"[0-9]{4}$", first.text):
        last = last._replace(text=first.text[-4:-2] + last.text)
    end = _read(last)
    edtf = f"{_start(first, last).split('/')[0]}/{end.split('/')[-1]}"
    return checked(edtf, last, 0)


def _start(first: Phrase, last: Phrase) -> str:
    # '9 to 11 June 2019', 'March to June 1961': the start borrows what it lacks from the end.
    words = last.text.split()
    try:
        return _read(first)
    except PartialDateError as error:
        for borrowed in (words[-1:], words[-2:]):
            try:
                return _read(first._replace(text=" ".join([first.text, *borrowed])))
            except PartialDateError:
                continue
        raise error


def _either(phrase: Phrase) -> str | None:
    match = _EITHER.fullmatch(phrase.text)
    if match is None:
        return None
    first, last = phrase.part(*match.span(1)), phrase.part(*match.span(2))
    members = [*_listed(first, last), _read(last)]
    # Of three alternatives, the last two have been read as a set of their own.
    inner = ",".join(member.strip("[]") for member in members)
    return checked(f"[{inner}]".replace("/", ".."), phrase, 0)


def _listed(first: Phrase, last: Phrase) -> list[str]:
    try:
        return [_start(first, last)]
    except PartialDateError:
        if "," not in first.text:
            raise
    places = [match.span() for match in re.finditer(r"[^,]+", first.text)]
    return [_start(first.part(*place), last) for place in places]

"""Dates as people know them: a day, a decade, 'about 1961', 'before 1970'.

A `PartialDate` keeps the text in the Extended Date/Time Format as it was accepted and the days it
may mean. Nothing is guessed: `~` and `?` set a flag and move no bound.

Source: Library of Congress, Extended Date/Time Format Specification (4 February 2019), the profile
of ISO 8601-2:2019; the grammar and what of it is read here stand in `edtf_grammar`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from collection.core.date_sentence import sentence
from collection.core.edtf_grammar import LONGEST, plain_bounds, window
from collection.core.edtf_refusal import PartialDateError
from collection.core.spoken_date import as_edtf

__all__ = ["LONGEST", "PartialDate", "PartialDateError"]

_ENDS = ("open_start", "open_end", "unknown_start", "unknown_end")
_new = object.__new__


@dataclass(frozen=True)
class PartialDate:
    """A date with its doubt. Made by `parse` or `read`, not by hand.

    `text` is the EDTF form, unchanged. `earliest` and `latest` are days of the Gregorian calendar,
    both included; each is None exactly where `open_*` ('..': no end, or none stated) or `unknown_*`
    (nothing written: there is an end, nobody knows it) is set. `uncertain` (?) doubts the date,
    `approximate` (~) says it is near; % sets both.
    """

    text: str
    earliest: date | None
    latest: date | None
    uncertain: bool = False
    approximate: bool = False
    open_start: bool = False
    open_end: bool = False
    unknown_start: bool = False
    unknown_end: bool = False

    @classmethod
    def parse(cls, text: str) -> PartialDate:
        """Read EDTF and nothing else; a few microseconds.

        Raises PartialDateError, with `position` and `reason`, for anything else, non-text too.

        >>> PartialDate.parse("1961~").latest
        datetime.date(1961, 12, 31)
        """
        plain = plain_bounds(text) if isinstance(text, str) else None
        if plain is not None:
            return _made(cls, text, *plain)
        found = window(text)
        made = _made(cls, text, found.earliest, found.latest, found.marks)
        for flag, name in zip(found[3:], _ENDS, strict=True):
            if flag:
                made.__dict__[name] = True
        return made

    @classmethod
    def read(cls, text: str, *, today: date | None = None) -> PartialDate:
        """Read what people type ('about 1961', '14/08/2025', "'59"), else EDTF.

        The forms and the house rules behind them are listed in `spoken_date`. Words that count
        from today ('yesterday', 'last Tuesday') need `today`, the day it is where the writer is.

        Raises PartialDateError; `position` counts in the text as typed.

        >>> PartialDate.read("about 1961").text
        '1961~'
        """
        return cls.parse(as_edtf(text, today=today))

    def sentence(self) -> str:
        """The date in words: 'about 1985', '1958 to 1960', 'the 1960s', '9 June 2019'."""
        return sentence(self.text)


def _made(
    cls: type[PartialDate], text: str, earliest: date | None, latest: date | None, marks: str
) -> PartialDate:
    # Written past the generated constructor: flags left alone are the class's own False, which
    # saves most of the time that setting nine frozen fields takes.
    made = _new(cls)
    fields: dict[str, Any] = made.__dict__
    fields["text"] = text
    fields["earliest"] = earliest
    fields["latest"] = latest
    if marks:
        fields["uncertain"] = "?" in marks or "%" in marks
        fields["approximate"] = "~" in marks or "%" in marks
    return made

"""Where a piece has been, as one paragraph that others can read without us.

Clauses stand from the earliest holder to the latest. A semicolon says that the piece went directly
from one to the next; a full stop that it did not, or that nobody knows: the default. Dealers stand
in parentheses, life dates in brackets, a doubted fact with '?', a doubted clause after 'Possibly'
or 'Probably'. Each clause with evidence has one footnote.

A holder who is private is named by role or as 'private collection'; nothing here decides who is.

Source: American Alliance of Museums, The AAM Guide to Provenance Research (2001), and Carnegie
Museum of Art, provenance standard, draft 0.1 (2015), which quotes it; 'by inheritance' for a
bequest after the National Gallery of Australia. House rules: the note of a dealer stands behind the
parenthesis; 'Probably' for what is likely, which the second source folds into 'Possibly'.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Final, Literal

from collection.core.partial_date import PartialDate
from collection.core.provenance_dates import life_words, period_words

Certainty = Literal["certain", "likely", "doubtful"]
MOST_NOTES: Final = 99
PRIVATE: Final = "private collection"
UNKNOWN: Final = "unknown collector"
# How it came to the holder; the words stand before the name.
METHODS: Final = {
    "bought": "purchased by",
    "given": "given to",
    "inherited": "by inheritance to",
    "descended": "by descent to",
    "found": "found by",
    "commissioned": "made to order for",
    "unknown": "acquired by",
    "": "",
}
EXPLAINED: Final = (
    "Holders stand from the earliest to the latest. A semicolon means that the piece passed "
    "directly from one to the next; a full stop that it did not, or is not known to have. "
    "Dealers and agents are in parentheses, life dates in brackets. 'Possibly', 'Probably' and "
    "'?' mark what is in doubt; numbers in brackets lead to the notes. Private persons are named "
    "by role or as private collection. A gap is not evidence of theft."
)


@dataclass(frozen=True)
class Clause:
    """One holder's time with the piece.

    `name`: '' for nobody known; `private` replaces it by `role`, or by 'private collection'.
    `method`: a key of METHODS, how it came to this holder. `direct`: whether it came straight from
    the clause before; None when nobody knows. `begin`, `end`, `born`, `died`: EDTF or ''.
    `name_doubted`, `place_doubted`: one fact in doubt; `certainty` is of the whole clause.
    `place`: town as named at the time, never a street. `note`: the evidence, '' for none.
    """

    name: str = ""
    method: str = ""
    direct: bool | None = None
    begin: str = ""
    end: str = ""
    place: str = ""
    relation: str = ""
    born: str = ""
    died: str = ""
    dealer: bool = False
    private: bool = False
    role: str = ""
    certainty: Certainty = "certain"
    name_doubted: bool = False
    place_doubted: bool = False
    note: str = ""


@dataclass(frozen=True)
class Provenance:
    """The paragraph, its notes in order, and what in it contradicts itself."""

    paragraph: str
    notes: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def text(self) -> str:
        """Paragraph and notes in one line, as it is handed on as text."""
        if not self.notes:
            return self.paragraph
        told = " ".join(f"[{n}] {note}" for n, note in enumerate(self.notes, 1))
        return f"{self.paragraph} NOTES: {told}"


def provenance(clauses: Sequence[Clause]) -> Provenance:
    """The paragraph of these clauses, given from the earliest to the latest.

    Raises ValueError for more than 99 notes or a method nobody knows, PartialDateError for a date
    that is no EDTF.
    """
    notes = tuple(_sentence(clause.note) for clause in clauses if clause.note)
    if len(notes) > MOST_NOTES:
        raise ValueError(f"{len(notes)} notes are more than {MOST_NOTES}; split the history")
    said, number, starts = [], 0, True
    for place, clause in enumerate(clauses):
        number += bool(clause.note)
        words = _words(clause, number if clause.note else 0, starts=starts)
        following = clauses[place + 1] if place + 1 < len(clauses) else None
        starts = following is None or following.direct is not True
        said.append(words + ("." if starts else ";"))
    return Provenance(" ".join(said), notes, tuple(_warnings(clauses)))


def _words(clause: Clause, note: int, *, starts: bool) -> str:
    if clause.method not in METHODS:
        raise ValueError(f"nobody knows the method {clause.method!r}")
    holder, proper = _holder(clause)
    lead = " ".join(filter(None, (_doubt(clause), METHODS[clause.method])))
    name = f"{lead} {holder}" if lead else holder
    life = life_words(clause.born, clause.died, known=bool(clause.born or clause.died))
    facts = [
        " ".join(filter(None, (", ".join(filter(None, (name, clause.relation))), life))),
        clause.place + ("?" if clause.place and clause.place_doubted else ""),
        period_words(clause.begin, clause.end),
    ]
    words = ", ".join(filter(None, facts))
    if starts and (lead or not proper):
        words = words[0].upper() + words[1:]
    words = f"({words})" if clause.dealer else words
    return f"{words} [{note}]" if note else words


def _holder(clause: Clause) -> tuple[str, bool]:
    """How the holder is called, and whether that is a proper name."""
    doubt = "?" if clause.name_doubted else ""
    if clause.private:
        return (clause.role or PRIVATE) + doubt, False
    return (clause.name or UNKNOWN) + (doubt if clause.name else ""), bool(clause.name)


def _doubt(clause: Clause) -> str:
    return {"certain": "", "likely": "probably", "doubtful": "possibly"}[clause.certainty]


def _sentence(note: str) -> str:
    text = " ".join(note.split()).removesuffix(".")
    return f"{text}."


def _warnings(clauses: Sequence[Clause]) -> Iterator[str]:
    for number, (earlier, later) in enumerate(pairwise(clauses), 1):
        ended, began = _days(earlier.end), _days(later.begin)
        pair = f"Clauses {number} and {number + 1}"
        if later.direct is True and ended[1] and began[0] and ended[1].year < began[0].year:
            yield (
                f"{pair}: said to have passed directly, yet nobody had it from "
                f"{ended[1].year} to {began[0].year}."
            )
        if later.direct is not True and ended[0] and began[1] and ended[0] > began[1]:
            yield f"{pair}: their times overlap, yet nothing says that it passed between them."
    for number, clause in enumerate(clauses, 1):
        if clause.certainty != "certain" and not clause.note:
            yield f"Clause {number}: in doubt, and no note says why."


def _days(edtf: str) -> tuple[date | None, date | None]:
    """First and last day that a date may mean."""
    known = PartialDate.parse(edtf) if edtf else None
    return (known.earliest, known.latest) if known else (None, None)

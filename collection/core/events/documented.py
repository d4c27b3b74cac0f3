"""`documented`: a dated paper, photo or appearance shows the piece, or says something of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind
from collection.core.events.originality_checked import date_in_words

DOCUMENTS = {
    "invoice": "invoice",
    "photo": "photo",
    "ticket": "repair ticket",
    "stage": "stage appearance",
    "catalogue": "maker's list",
    "letter": "letter",
    "other": "other document",
}


@dataclass(frozen=True)
class Documented(Kind):
    """`what`: a key of DOCUMENTS. `dated`: EDTF date of the document itself.

    `shows`: what it shows of the piece, in words. `says_built`: EDTF, the year of building that
    it claims; a claim never bounds the build date, its own date does when the piece is in it.
    `piece_in_it`: whether it proves that this very piece was there on that date.
    """

    kind: ClassVar[str] = "documented"
    what: str
    dated: str
    shows: str = ""
    says_built: str = ""
    piece_in_it: bool = True

    def sentence(self) -> str:
        """What it is, its date, what it shows, which year it claims."""
        name = DOCUMENTS.get(self.what, self.what)
        shows = f": {self.shows.removesuffix('.')}" if self.shows else ""
        claims = f"; it says built {date_in_words(self.says_built)}" if self.says_built else ""
        doubt = "" if self.piece_in_it else "; whether it is this piece is not sure"
        return f"Document ({name}) of {date_in_words(self.dated)}{shows}{claims}{doubt}."

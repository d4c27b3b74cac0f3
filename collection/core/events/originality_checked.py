"""`originality_checked`: somebody judged whether one part of a piece is still the first one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind
from collection.core.partial_date import PartialDate, PartialDateError

JUDGEMENTS = {
    "original": "original",
    "likely": "likely original",
    "unknown": "not known",
    "replaced": "replaced",
}


def date_in_words(edtf: str) -> str:
    """An EDTF date in words; text that is none as it stands, for a sentence never fails."""
    try:
        return PartialDate.parse(edtf).sentence()
    except PartialDateError:
        return edtf


@dataclass(frozen=True)
class OriginalityChecked(Kind):
    """One part (`position`, in words) and what was judged of it.

    `judgement`: a key of JUDGEMENTS. `marking`: as seen, '?' for an unreadable character.
    `reading`: the split of the marking that was taken, such as '304-7-28'; '' keeps all of them.
    `made`: EDTF date of the part when something else than the marking dates it. `evidence`: on
    what the judgement rests, in words.
    """

    kind: ClassVar[str] = "originality_checked"
    position: str
    judgement: str
    marking: str = ""
    reading: str = ""
    made: str = ""
    evidence: str = ""

    def sentence(self) -> str:
        """The part, the judgement, its marking and date, the evidence."""
        said = [f"{self.position}: {JUDGEMENTS.get(self.judgement, self.judgement)}"]
        if self.marking:
            taken = f", read as {self.reading}" if self.reading else ""
            said.append(f"marked {self.marking}{taken}")
        if self.made:
            said.append(f"made {date_in_words(self.made)}")
        if self.evidence:
            said.append(self.evidence.removesuffix("."))
        return f"Originality of {'; '.join(said)}."

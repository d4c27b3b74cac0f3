"""Entries of a checked file as a page shows them, read from the file and from nowhere else."""

from dataclasses import dataclass

from collection.core.dossier_check import Checked, Read
from collection.core.events import facts_of
from collection.core.partial_date import PartialDate, PartialDateError


@dataclass(frozen=True)
class Told:
    """One entry: its number, date, sentence, words, and whether it holds."""

    read: Read
    when: str
    says: str
    corrected_by: int | None

    @property
    def content(self) -> dict[str, object]:
        """What its leaf covers."""
        return dict(self.read.content)


def told_of(found: Checked) -> list[Told]:
    """Every entry of a file, in the order of the book."""
    struck = [(one.content.get("corrects"), one.number) for one in found.entries]
    corrected = {old: new for old, new in struck if type(old) is int}
    return [
        Told(one, _when(one), _sentence(one), corrected.get(one.number)) for one in found.entries
    ]


def _sentence(one: Read) -> str:
    """The sentence of its kind; the kind alone where its facts cannot be read."""
    kind, facts = str(one.content.get("kind")), one.content.get("facts")
    version = one.content.get("facts_version")
    try:
        return facts_of(kind, facts, version).sentence()  # type: ignore[arg-type]
    except (TypeError, ValueError, KeyError, AttributeError, IndexError, RecursionError):
        # The file may say anything; what it says is shown below in full.
        return kind


def _when(one: Read) -> str:
    happened = one.content.get("happened")
    if not isinstance(happened, str):
        return "date not known"
    try:
        return PartialDate.parse(happened).sentence()
    except PartialDateError:
        return happened[:64]

"""What the book is told of one row of an inventory."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from collection.catalogue.models import Piece
from collection.catalogue.spreadsheet.plan import PlannedPiece
from collection.core.events.described import Described
from collection.core.events.kind import Kind
from collection.core.events.moved import Moved
from collection.core.events.noted import Noted
from collection.core.events.tagged_out import TaggedOut
from collection.core.events.title_changed import TitleChanged
from collection.core.events.told_working import ToldWorking
from collection.core.events.valued import Valued
from collection.core.partial_date import PartialDate
from collection.ledger.telling import Telling

WORKS = {"works": "yes", "does not work": "no", "unclear": "unclear"}
LISTED = "as listed in the inventory"
NOTE_LENGTH = 200


@dataclass(frozen=True)
class Named:
    """Codes of the place, the holder and the owner that a row names; '' where it names none."""

    place: str = ""
    holder: str = ""
    owner: str = ""


def entries_of(
    row: PlannedPiece, piece: Piece, *, named: Named, file_name: str, today: date
) -> list[tuple[Kind, Telling]]:
    """Facts with how they came, in the order of happening: what is undated comes first."""
    tail = f", row {row.row}"
    note = file_name[: NOTE_LENGTH - len(tail)] + tail
    told = list(_told(row, piece, named, note))
    told += _proposed(row, note, today)
    return sorted(told, key=lambda entry: _begins(entry[1].happened))


def _told(row: PlannedPiece, piece: Piece, named: Named, note: str) -> Iterator:
    def written(happened: str = "", words: str = "") -> Telling:
        return Telling(happened=happened, source="document", source_note=note, words=words)

    # The notes are words and no facts: words can be taken out again.
    yield Described(said=_said(piece), first=True), written(words=row.notes_with_kept)
    if named.place:
        yield Moved(to=named.place, holder=named.holder), written(row.checked)
    if named.owner:
        yield TitleChanged(owner=named.owner, basis=LISTED), written()
    if row.told:
        works = ToldWorking(works=WORKS[row.told.says], told_words=row.told.words)
        yield works, written(row.told.on or row.checked)
    if row.modifications:
        yield Noted(about="modifications"), written(words=row.modifications)
    if piece.value_minor is not None:
        yield Valued(piece.value_minor, piece.value_currency, basis=LISTED), written()


def _proposed(row: PlannedPiece, note: str, today: date) -> Iterator:
    """The words may be old; that they were taken for a warning is of today."""
    if row.tag_out:
        telling = Telling(happened=today.isoformat(), source="inferred", source_note=note)
        yield TaggedOut(reason=f"the inventory says {row.tag_out.reason}", proposed=True), telling


def _begins(happened: str) -> date:
    when = PartialDate.parse(happened).earliest if happened else None
    return when or date.min


def _said(piece: Piece) -> tuple[tuple[str, str], ...]:
    fields = ("kind", "family", "maker", "design", "circuit", "name", "nickname", "year", "serial",
              "finish", "mass_grams")  # fmt: skip
    said = ((field.replace("_", " "), getattr(piece, field)) for field in fields)
    return tuple((field, str(value)) for field, value in said if value not in (None, ""))

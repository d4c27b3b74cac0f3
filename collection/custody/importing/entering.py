"""One chunk of an inventory entered in the open book: few queries, however many rows."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from collection.catalogue.models import Piece
from collection.catalogue.spreadsheet.plan import PREFIXES, PlannedPiece
from collection.catalogue.spreadsheet.planned import RefusedRow
from collection.core.partial_date import PartialDate
from collection.custody.importing.entries import entries_of
from collection.custody.importing.naming import Naming
from collection.ledger.book import Book
from collection.ledger.models import Subject


@dataclass(frozen=True)
class Taken:
    """The rows of a chunk that became pieces, and those whose code was taken meanwhile."""

    rows: tuple[PlannedPiece, ...] = ()
    refused: tuple[RefusedRow, ...] = ()


def enter(book: Book, rows: Sequence[PlannedPiece], naming: Naming, *, file_name: str) -> Taken:
    """Pieces and entries of rows that nobody has brought in since they were planned."""
    taken = _still_free(book, rows)
    Subject.objects.bulk_create(
        Subject(collection=book.collection, code=row.code, kind="piece") for row in taken.rows
    )
    book.load({row.code for row in taken.rows})
    pieces = [_piece(book, row, naming) for row in taken.rows]
    Piece.objects.bulk_create(pieces)
    today = book.now.astimezone(book.collection.zone_info).date()
    for row, piece in zip(taken.rows, pieces, strict=True):
        _tell(book, row, piece, naming, file_name, today)
    return taken


def _tell(
    book: Book, row: PlannedPiece, piece: Piece, naming: Naming, file_name: str, today: date
) -> None:
    named = naming.codes(row)
    for facts, telling in entries_of(row, piece, named=named, file_name=file_name, today=today):
        book.append(facts, piece.code, telling)


def _still_free(book: Book, rows: Sequence[PlannedPiece]) -> Taken:
    """The book is locked now; before, somebody may have sent the same file or used a code."""
    marks = {row.fingerprint for row in rows}
    held = Piece.objects.of(book.collection).filter(imported_as__in=marks)
    brought = set(held.values_list("imported_as", flat=True))
    codes = Subject.objects.of(book.collection).filter(code__in={row.code for row in rows})
    used = set(codes.values_list("code", flat=True))
    free, refused = [], []
    for row in rows:
        if row.fingerprint in brought:
            continue
        if row.code in used and row.code_was_given:
            row = replace(row, code=_next_free(book, row, [*free, *rows]))
        if row.code in used:
            refused.append(_refused(row))
        else:
            free.append(row)
    return Taken(tuple(free), tuple(refused))


def _next_free(book: Book, row: PlannedPiece, others: Sequence[PlannedPiece]) -> str:
    prefix = PREFIXES[row.kind]
    used = {other.code for other in others} | {book.next_code(prefix)}
    numbers = [int(code.split("-")[1]) for code in used if code.startswith(f"{prefix}-")]
    return f"{prefix}-{max(numbers) + 1:03d}"


def _refused(row: PlannedPiece) -> RefusedRow:
    reason = f"code {row.code} has meanwhile been given to something else in the collection"
    return RefusedRow(row.row, (reason,), "")


def _piece(book: Book, row: PlannedPiece, naming: Naming) -> Piece:
    maker = naming.maker(row)
    when = PartialDate.parse(row.year) if row.year else None
    piece = Piece(
        subject=book.known[row.code].subject,
        collection=book.collection,
        code=row.code,
        kind=row.kind,
        family=row.family,
        maker=maker,
        design=naming.design(row, maker),
        circuit=naming.circuit(row),
        name=_name(row),
        nickname=row.nickname,
        year=row.year,
        built_from=when.earliest if when else None,
        built_to=when.latest if when else None,
        serial=row.serial,
        finish=row.finish,
        mass_grams=row.mass_grams,
        value_minor=row.value_minor,
        value_currency=_currency(book, row),
        notes=row.notes_with_kept,
        imported_as=row.fingerprint,
    )
    piece.search = piece.search_text()
    return piece


def _name(row: PlannedPiece) -> str:
    """What kind of thing it is, in the list's own words, when nothing else names it."""
    return row.kind_words if row.kind == "other" and not row.design else ""


def _currency(book: Book, row: PlannedPiece) -> str:
    """A figure without a currency is in the collection's own."""
    return "" if row.value_minor is None else row.currency or book.collection.currency

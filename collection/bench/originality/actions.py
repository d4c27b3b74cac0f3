"""Writing judgements and dated documents; what contradicts becomes a Question."""

from collections.abc import Iterable

from collection.bench.originality.queries import known_of
from collection.catalogue.models import Piece
from collection.core.events.asked import Asked
from collection.core.events.documented import Documented
from collection.core.events.kind import Kind
from collection.core.events.originality_checked import OriginalityChecked
from collection.ledger.actions import open_book
from collection.ledger.book import Book
from collection.ledger.models import Event
from collection.ledger.queries import asked_about, questions_about
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership


def check_originality(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    position: str,
    judgement: str,
    marking: str = "",
    reading: str = "",
    made: str = "",
    evidence: str = "",
    telling: Telling | None = None,
) -> Event:
    """Judge one part: original, likely, unknown or replaced, with its marking as seen."""
    facts = OriginalityChecked(
        position=position,
        judgement=judgement,
        marking=marking,
        reading=reading,
        made=made,
        evidence=evidence,
    )
    return _write(collection, by, code, facts, telling)


def add_document(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    what: str,
    dated: str,
    shows: str = "",
    says_built: str = "",
    piece_in_it: bool = True,
    telling: Telling | None = None,
) -> Event:
    """A dated paper, photo or appearance of a piece; it stands at its own date in the book."""
    facts = Documented(
        what=what, dated=dated, shows=shows, says_built=says_built, piece_in_it=piece_in_it
    )
    return _write(
        collection, by, code, facts, telling or Telling(happened=dated, source="document")
    )


def _write(
    collection: Collection, by: Membership, code: str, facts: Kind, telling: Telling | None
) -> Event:
    told = telling or Telling(happened=clock.today(collection.zone_info).isoformat())
    with open_book(collection, by) as book:
        if before := book.sent_before(told.once):
            return before
        event = book.append(facts, code, told)
        book.flush()  # or the statements read below would lack this one
        piece = Piece.objects.of(collection).select_related("design", "circuit").get(code=code)
        _ask(book, piece, event, known_of(piece, None).contradictions)
        return event


def _ask(book: Book, piece: Piece, event: Event, found: Iterable[str]) -> None:
    """Open a Question for each contradiction that none stands open for or has been answered."""
    open_ones = {_head(one.facts["question"]) for one in questions_about(piece.subject)}
    ever = asked_about(piece.subject)
    for sentence in found:
        if _head(sentence) not in open_ones and sentence not in ever:
            question = book.new_subject("question")
            asked = Asked(question=sentence, about=piece.code, entry=event.sequence)
            book.append(asked, question.code, Telling(source="inferred"))


def _head(sentence: str) -> str:
    """What a question is about: its words up to the colon, so that one more witness asks none."""
    return sentence.partition(":")[0]

"""A piece is off its loan while an entry that says so stands in the book."""

from collections.abc import Iterable, Sequence

from collection.custody.loans.models import LoanedPiece
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from collection.ledger.settling import Change

BACK = ("returned", "hired_back")


def count_again(changes: Sequence[Change]) -> None:
    """Write anew which pieces are back on loans that an act changed, also by taking back."""
    loans = [change.subject.pk for change in changes if change.subject.kind == "loan"]
    if not loans:
        return
    back = _back(loans)
    for row in LoanedPiece.objects.filter(loan__in=loans):
        event = back.get((row.loan_id, row.piece_id))
        was = (row.back_entry, row.back_on)
        if event is None:
            row.back_entry = row.back_on = None
        else:
            row.back_entry = row.back_entry or event.sequence
            row.back_on = event.earliest or row.back_on
        if was != (row.back_entry, row.back_on):
            row.save(update_fields=["back_entry", "back_on"])


def _back(loans: Iterable[int]) -> dict[tuple[int, int], Event]:
    found: dict[tuple[int, int], Event] = {}
    for loan in loans:
        rows = Event.objects.filter(~superseded(), kind__in=BACK, mentions__subject=loan)
        found |= {(loan, event.subject_id): event for event in rows.order_by("sequence")}
    return found

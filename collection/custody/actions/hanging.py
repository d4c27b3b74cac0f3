"""Places that move hang in the tree where the book says, whichever entry says it."""

from collections.abc import Sequence

from collection.custody.actions.places import hang
from collection.custody.models import Place
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from collection.ledger.settling import Change


def hang_again(changes: Sequence[Change]) -> None:
    """Hang cases and trucks whose place was changed by an act, also by one taken back."""
    moved = {
        change.subject.pk: change.after.place
        for change in changes
        if change.subject.kind == "place" and change.after.place != change.before.place
    }
    rows = Place.objects.filter(pk__in=moved) if moved else ()
    for row in rows:
        code = moved[row.pk] or _as_entered(row)
        around = Place.objects.of(row.collection).filter(code=code).first() if code else None
        if row.inside_id != (around.pk if around else None):
            row.inside = around
            hang(row)


def _as_entered(place: Place) -> str:
    """The code it was entered inside of; no entry has moved it since."""
    said = Event.objects.filter(~superseded(), subject=place.pk, kind="described")
    told = [dict(event.facts["said"]) for event in said.order_by("sequence")]
    return next((one["inside"] for one in reversed(told) if "inside" in one), "")

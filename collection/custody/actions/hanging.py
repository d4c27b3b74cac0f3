"""Places that move hang in the tree where the book says, whichever entry says it."""

from collections.abc import Sequence

from collection.custody.actions.places import hang
from collection.custody.models import Place
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from collection.ledger.settling import Change


def hang_again(changes: Sequence[Change]) -> None:
    """Hang cases and trucks where an act put them, also one that took an entry back.

    What was said to stand inside itself stays where it hung.
    """
    moved = {
        change.subject.pk: change.after.place
        for change in changes
        if change.subject.kind == "place" and (change.after.place or change.before.place)
    }
    for row in Place.objects.filter(pk__in=moved) if moved else ():
        code = moved[row.pk] or _as_entered(row)
        around = Place.objects.of(row.collection).filter(code=code).first() if code else None
        inside_itself = around is not None and f"/{row.code}/" in around.path
        if row.inside_id != (around.pk if around else None) and not inside_itself:
            row.inside = around
            hang(row)


def _as_entered(place: Place) -> str:
    """The code it was entered inside of; no entry has moved it since."""
    said = Event.objects.filter(~superseded(), subject=place.pk, kind="described")
    told = [dict(event.facts["said"]) for event in said.order_by("sequence")]
    return next((one["inside"] for one in reversed(told) if "inside" in one), "")

"""What must stay off everything that leaves the house about an incident."""

from collections.abc import Sequence

from collection.catalogue.models import Photo, Piece
from collection.catalogue.queries import kept_originals
from collection.core.notice import Secrets
from collection.custody.incident import pieces_of
from collection.custody.models import Incident, Party, Place
from registry.access.queries import member_names


def secrets_of(incident: Incident) -> Secrets:
    """Names, private places, numbers and marks that a notice of this incident must not say."""
    collection, own = incident.collection, pieces_of(incident)
    places = list(Place.objects.of(collection))
    private = [p for p in places if any(q.private and q.path in p.path for q in places)]
    public = [p for p in places if p not in private]
    people = Party.objects.of(collection).values_list("name", flat=True)
    return Secrets(
        names=(*member_names(collection).values(), *people),
        places=private_words(private, public),
        numbers=_numbers(incident, own),
        marks=(*held_back(incident, own), *(p.hidden_mark for p in own if p.hidden_mark)),
        allowed=tuple(p.town for p in public if p.subject_id == incident.place_id),
    )


def private_words(private: Sequence[Place], public: Sequence[Place]) -> tuple[str, ...]:
    """Names and towns of private places; a town that a public place has too gives nothing away."""
    open_towns = {p.town for p in public}
    towns = (p.town for p in private if p.town and p.town not in open_towns)
    return (*(p.name for p in private), *towns)


def _numbers(incident: Incident, own: list[Piece]) -> tuple[str, ...]:
    ours = {piece.serial for piece in own}
    rows = Piece.objects.of(incident.collection).values_list("serial", "hidden_mark")
    found = {number for pair in rows for number in pair if number}
    return tuple(sorted(found - ours))


def held_back(incident: Incident, own: list[Piece]) -> tuple[str, ...]:
    """Marks kept off the notice: those chosen, else the last mark of each piece."""
    return tuple(mark for piece in own for mark in held_back_of(incident, piece))


def held_back_of(incident: Incident, piece: Piece) -> tuple[str, ...]:
    """Marks of one piece kept off the notice; never none, where it has any."""
    marks = [str(mark) for mark in piece.marks]
    chosen = [mark for mark in marks if mark in incident.held_back.get(piece.code, ())]
    return tuple(chosen or marks[-1:])


def photos_of(pieces: list[Piece]) -> list[Photo]:
    """Photos of the pieces that may be shown: none that shows a mark held back; 1 query."""
    if not pieces:
        return []
    found = kept_originals(pieces[0].collection).filter(
        subject__in=[piece.pk for piece in pieces], shows_mark=False
    )
    return list(found.order_by("pk"))

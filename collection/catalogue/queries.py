"""Reading the catalogue: pieces, what was drawn, photos."""

from collections import Counter
from collections.abc import Iterable

from django.db.models import Count, QuerySet

from collection.catalogue.models import Circuit, Design, Maker, Photo, Piece, PieceKind, Position
from collection.core.serial import cleaned
from collection.ledger.codes import PREFIXES, following
from collection.ledger.models import Event, Subject
from registry.access.models import Collection, Membership

# Letters for kinds that have no piece yet; a house rule, anybody may type another.
LETTERS = {
    PieceKind.INSTRUMENT: "G",
    PieceKind.AMPLIFIER: "A",
    PieceKind.CABINET: "C",
    PieceKind.EFFECT: "E",
    PieceKind.MICROPHONE: "M",
    PieceKind.OTHER: "O",
}


def pieces(collection: Collection) -> QuerySet[Piece]:
    """Pieces of a collection with what their names are made of."""
    return Piece.objects.of(collection).select_related("maker", "design", "circuit", "subject")


def makers(collection: Collection) -> QuerySet[Maker]:
    """Makers, with how many pieces each has here."""
    return Maker.objects.of(collection).annotate(piece_count=Count("pieces"))


def designs(collection: Collection) -> QuerySet[Design]:
    """Designs with their makers."""
    return Design.objects.of(collection).select_related("maker")


def circuits(collection: Collection) -> QuerySet[Circuit]:
    """Circuits with the designs they are of."""
    return Circuit.objects.of(collection).select_related("design__maker")


def positions(circuit: Circuit) -> list[Position]:
    """The positions of a circuit in the order of the paper chart."""
    return list(Position.objects.filter(circuit=circuit))


def usual_places(collection: Collection) -> QuerySet[Subject]:
    """What a piece can usually be in: every place, cases first by their code."""
    found = Subject.objects.of(collection).filter(kind="place")
    return found.select_related("place_row").order_by("code")


def next_codes(collection: Collection) -> dict[str, str]:
    """The next free code of each kind of piece, after the letter most used for that kind."""
    rows = Subject.objects.of(collection).filter(kind="piece").values_list("code", "piece__kind")
    used: dict[str, Counter[str]] = {kind: Counter() for kind in PieceKind.values}
    for code, kind in rows:
        used.setdefault(kind, Counter())[code.partition("-")[0]] += 1
    taken = list(Subject.objects.of(collection).values_list("code", flat=True))
    letters = {kind: _letter(kind, used[kind]) for kind in PieceKind.values}
    return {kind: following(letter, taken) for kind, letter in letters.items()}


def next_code_after(collection: Collection, letters: str) -> str:
    """The next free code that starts with these letters."""
    taken = Subject.objects.of(collection).filter(code__startswith=f"{letters}-")
    return following(letters, list(taken.values_list("code", flat=True)))


def _letter(kind: str, used: Counter[str]) -> str:
    own = [(letter, n) for letter, n in used.items() if letter not in PREFIXES.values()]
    return max(own, key=lambda found: found[1])[0] if own else LETTERS[PieceKind(kind)]


def with_serial(collection: Collection, serial: str, *, but: Piece | None = None) -> list[Piece]:
    """Other pieces whose serial reads the same, spaces, dashes and case aside."""
    if not cleaned(serial):
        return []
    marked = Piece.objects.of(collection).exclude(serial="").values_list("pk", "serial")
    alike = [pk for pk, other in marked if cleaned(other) == cleaned(serial)]
    return list(pieces(collection).filter(pk__in=alike).exclude(pk=but.pk if but else None))


def with_same_serial(piece: Piece) -> list[Piece]:
    """Other pieces marked with the very same serial, case aside; quick enough for every page."""
    if not piece.serial:
        return []
    alike = pieces(piece.collection).filter(serial__iexact=piece.serial)
    return list(alike.exclude(pk=piece.pk))


def serials(collection: Collection) -> list[str]:
    """Every serial as marked."""
    marked = Piece.objects.of(collection).exclude(serial="")
    return list(marked.values_list("serial", flat=True))


def hidden_marks(collection: Collection) -> list[str]:
    """Every owner's mark; never shown to who does not record."""
    marked = Piece.objects.of(collection).exclude(hidden_mark="")
    return list(marked.values_list("hidden_mark", flat=True))


def photos(collection: Collection, member: Membership) -> QuerySet[Photo]:
    """Photos this member may see: one that shows a held-back mark is for who records."""
    found = kept_originals(collection)
    return found if member.records else found.filter(shows_mark=False)


def photos_of(subject: Subject, member: Membership) -> list[Photo]:
    """Photos of a thing, the front first."""
    found = photos(subject.collection, member).filter(subject=subject)
    return sorted(found, key=_front_first)


def first_photos(
    collection: Collection, member: Membership, pieces: Iterable[Piece]
) -> dict[int, Photo]:
    """One photo a piece, by subject: its front where there is one; one query."""
    found = photos(collection, member).filter(subject__in=[piece.pk for piece in pieces])
    ordered = sorted(found, key=_front_first, reverse=True)
    return {photo.subject_id: photo for photo in ordered}


def _front_first(photo: Photo) -> tuple[bool, int]:
    return photo.view != Photo.View.FRONT, photo.pk


def taken_out(collection: Collection, sha256: str) -> Photo | None:
    """The row of a photo whose bytes were taken out, None where they never were."""
    found = Photo.objects.of(collection).filter(sha256=sha256, taken_out_at__isnull=False)
    return found.first()


def photos_taken_out(subject: Subject) -> list[tuple[Photo, Event]]:
    """Photos of a thing whose bytes are gone, each with the entry that says why; 2 queries."""
    found = list(Photo.objects.filter(subject=subject, taken_out_at__isnull=False))
    numbers = [photo.taken_out_in for photo in found]
    said = Event.objects.of(subject.collection).filter(sequence__in=numbers) if found else ()
    why = {event.sequence: event for event in said}
    return [(photo, why[photo.taken_out_in]) for photo in found if photo.taken_out_in in why]


def kept_originals(collection: Collection) -> QuerySet[Photo]:
    """Photos whose bytes are kept here, in order."""
    return Photo.objects.of(collection).filter(taken_out_at=None).select_related("subject")


def kept_photos(collection: Collection) -> set[tuple[str, str]]:
    """(book, SHA-256) of every photo that a row speaks of."""
    hashes = kept_originals(collection).values_list("sha256", flat=True)
    return {(collection.book, sha256) for sha256 in hashes}


def means_something(collection: Collection, code: str) -> bool:
    """Whether a code has been given out."""
    return Subject.objects.of(collection).filter(code=code).exists()

"""What stands on labels: enough to work without a telephone, nothing that tells a stranger more.

No name of a person, no value, no place, no state: a label outlives what it says, and a finder
reads it. A nickname that names somebody is left off.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from django.db.models import QuerySet
from django.urls import reverse

from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core.cautions import ONE_PERSON_GRAMS
from collection.core.events.kind import GONE
from collection.core.notice import Secrets, leak
from collection.custody.cases.models import CaseSheet
from collection.custody.models import Party, Place
from collection.custody.queries import codes_inside
from registry.access.models import Collection
from registry.access.queries import member_names

Absolute = Callable[[str], str]


@dataclass(frozen=True)
class Label:
    """One label: the code, up to three lines, the address its QR code opens."""

    code: str
    name: str
    address: str
    lines: tuple[str, ...] = ()
    two_people: bool = False


def names_of(collection: Collection) -> Secrets:
    """The names that no label says: of members, people and firms; 2 queries."""
    parties = Party.objects.of(collection).values_list("name", flat=True)
    return Secrets(names=(*member_names(collection).values(), *parties))


def piece_labels(
    found: Iterable[Piece], *, collection: Collection, absolute: Absolute
) -> list[Label]:
    """A label a piece: code, name, nickname; 2 queries."""
    names = names_of(collection)
    return [
        Label(
            piece.code,
            "" if leak(piece.called, names) else piece.called,
            _address("desk:piece", collection, piece.code, absolute),
            _said(piece, names),
        )
        for piece in found
    ]


def _said(piece: Piece, names: Secrets) -> tuple[str, ...]:
    nickname = piece.nickname if piece.nickname and not leak(piece.nickname, names) else ""
    family = piece.family or piece.get_kind_display()
    return tuple(filter(None, (f"“{nickname}”" if nickname else "", family)))


def case_labels(found: list[Place], *, collection: Collection, absolute: Absolute) -> list[Label]:
    """A label a case: code, how many pieces are in it, what it weighs, who lifts; 3 queries."""
    counts, grams, unweighed = _loads(collection, found)
    tares = dict(CaseSheet.objects.filter(place__in=found).values_list("place_id", "tare_grams"))
    made = []
    for place in found:
        tare = tares.get(place.pk)
        weighed = tare is not None and place.pk not in unweighed
        mass = grams[place.pk] + (tare or 0)
        made.append(
            Label(
                place.code,
                place.name,
                _address("custody:place", collection, place.code, absolute),
                (_in_words(counts[place.pk]), _mass(mass, weighed)),
                two_people=mass >= ONE_PERSON_GRAMS,
            )
        )
    return made


def _loads(
    collection: Collection, found: list[Place]
) -> tuple[Counter[int], dict[int, int], set[int]]:
    """Pieces in each case and everything inside it, their mass in grams, cases not all weighed."""
    counts: Counter[int] = Counter()
    grams: dict[int, int] = defaultdict(int)
    unweighed: set[int] = set()
    paths = Place.objects.of(collection).values_list("pk", "path")
    inside = {pk: [p.pk for p in found if path.startswith(p.path)] for pk, path in paths}
    rows = Piece.objects.of(collection).filter(
        subject__state__place__in=[pk for pk, around in inside.items() if around]
    )
    there = rows.exclude(subject__state__standing__in=GONE)
    for at, mass in there.values_list("subject__state__place_id", "mass_grams"):
        for case in inside[at]:
            counts[case] += 1
            grams[case] += mass or 0
            if mass is None:
                unweighed.add(case)
    return counts, grams, unweighed


def _in_words(count: int) -> str:
    return "empty" if not count else f"{count} piece{'s' if count > 1 else ''}"


def _mass(grams: int, weighed: bool) -> str:
    if not grams:
        return "not weighed"
    return f"{'' if weighed else 'at least '}{grams / 1000:.0f} kg"


def _address(page: str, collection: Collection, code: str, absolute: Absolute) -> str:
    return absolute(reverse(page, args=[collection.slug, code]))


def pieces_at(place: Place) -> QuerySet[Piece]:
    """Pieces that the book has in a place and in everything inside it."""
    inside = codes_inside(place.collection, place.code)
    return pieces(place.collection).filter(code__in=inside).order_by("code")


def cases_at(place: Place) -> list[Place]:
    """The case itself, or the cases inside a place."""
    if place.kind == Place.Kind.CASE:
        return [place]
    inside = Place.objects.of(place.collection).filter(path__startswith=place.path)
    return list(inside.filter(kind=Place.Kind.CASE).order_by("code"))

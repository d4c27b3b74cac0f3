"""Reading custody: the tree of places, what stands where, who has what."""

from collections import Counter
from dataclasses import dataclass, replace

from django.db.models import Q, QuerySet

from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core.events.kind import GONE
from collection.core.fold_text import folded
from collection.core.recovery import RESTS_ON
from collection.custody.cases.models import CaseSheet
from collection.custody.models import Incident, Party, Place
from collection.custody.whereabouts import Whereabouts
from collection.ledger.models import Event, State, Subject
from collection.ledger.queries import superseded
from registry.access.models import Collection

RECENT = 6
FOUND = 12


def inside_path(place: Place) -> str:
    """The path of a place from the top of the tree, such as '/P-001/P-004/'."""
    return f"{place.inside.path if place.inside else '/'}{place.code}/"


def standing(collection: Collection, code: str, kind: str) -> Event | None:
    """The newest entry of a kind on a piece that stands in the book, not withdrawn."""
    found = Event.objects.of(collection).filter(subject__code=code, kind=kind)
    return found.filter(~superseded()).order_by("-placed_us", "-sequence").first()


def behind_gate(collection: Collection, code: str, gate: str) -> Event | None:
    """The entry a gate rests on, told since the piece came back last; None where none is."""
    if gate not in RESTS_ON:
        return None
    found = standing(collection, code, RESTS_ON[gate])
    back = standing(collection, code, "recovered")
    if found is None or back is None:
        return found
    return found if found.answers == back.sequence or found.sequence > back.sequence else None


def places(collection: Collection) -> QuerySet[Place]:
    """Places of a collection."""
    return Place.objects.of(collection).select_related("subject", "inside")


def parties(collection: Collection) -> QuerySet[Party]:
    """People and firms of a collection."""
    return Party.objects.of(collection).select_related("subject")


def incidents(collection: Collection) -> QuerySet[Incident]:
    """Thefts and losses of a collection, newest first."""
    return Incident.objects.of(collection).select_related("subject", "collection", "place")


def movable(collection: Collection) -> QuerySet[Subject]:
    """What can be moved and seen: pieces, parts, lots, and places that travel."""
    return Subject.objects.of(collection).filter(
        Q(kind__in=("piece", "part", "lot")) | Q(place_row__kind__in=("case", "truck"))
    )


@dataclass(frozen=True)
class Node:
    """A place of the tree: how deep it stands, what is in it and in everything below it."""

    place: Place
    depth: int
    here: int
    within: int
    town: str


def tree(collection: Collection, known: Whereabouts) -> list[Node]:
    """Places this member may know, with counts of pieces; 1 query beside the places."""
    here = Counter(
        State.objects.of(collection)
        .filter(subject__kind="piece", place__isnull=False)
        .exclude(standing__in=GONE)
        .values_list("place_id", flat=True)
    )
    within: Counter[str] = Counter()
    for pk, count in here.items():
        for place in known.chain(pk) if pk in known.rows else ():
            within[place.code] += count
    return [
        Node(p, p.path.count("/") - 2, here[p.pk], within[p.code], known.town(p.pk))
        for p in known.shown()
    ]


@dataclass(frozen=True)
class Kept:
    """A piece with its state and the words for its place."""

    piece: Piece
    state: State
    where: str
    away: str = ""  # 'with A studio in Leith' where the place is only the one it was lent from


def kept_in(place: Place, known: Whereabouts) -> tuple[list[Kept], list[Kept]]:
    """What the book says is in a place and in everything inside it, and what left it; 1 query."""
    inside = [p.pk for p in known.rows.values() if p.path.startswith(place.path)]
    rows = pieces(place.collection).filter(subject__state__place_id__in=inside)
    found = [
        replace(one, away=_with(one.state))
        for one in _kept(rows.select_related("subject__state__holder__party"), known)
    ]
    gone = [one for one in found if one.state.standing in GONE]
    return [one for one in found if one not in gone], gone


def _with(state: State) -> str:
    if state.holder is None:
        return ""
    return f"with {getattr(state.holder, 'party', None) or state.holder.code}"


def kept_by(party: Party, known: Whereabouts) -> list[Kept]:
    """What the book says a person or firm has; 1 query."""
    return _kept(pieces(party.collection).filter(subject__state__holder=party.subject), known)


def owned_by(party: Party, known: Whereabouts) -> list[Kept]:
    """What the book says a person or firm owns; 1 query."""
    return _kept(pieces(party.collection).filter(subject__state__owner=party.subject), known)


def _kept(found: QuerySet[Piece], known: Whereabouts) -> list[Kept]:
    rows = found.select_related("subject__state").order_by("code")
    return [Kept(p, p.subject.state, known.words(p.subject.state.place_id)) for p in rows]


def holders(collection: Collection) -> dict[int, tuple[int, int]]:
    """(what they have, what they own) of every party that has or owns anything; 1 query."""
    rows = State.objects.of(collection).filter(subject__kind="piece")
    has: Counter[int] = Counter()
    owns: Counter[int] = Counter()
    for holder, owner in rows.values_list("holder_id", "owner_id"):
        has[holder] += 1
        owns[owner] += 1
    return {pk: (has[pk], owns[pk]) for pk in {*has, *owns} - {None}}


def recent_places(collection: Collection, known: Whereabouts, thing: str = "") -> list[Place]:
    """Places that things were lately moved to or seen at, newest first, for a thing; 1 query."""
    rows = (
        Event.objects.of(collection)
        .filter(kind__in=("moved", "sighted", "not_found"))
        .order_by("-sequence")
        .values_list("facts", flat=True)[:80]
    )
    codes = [f.get("to") or f.get("at") or f.get("looked_at") for f in rows]
    named = [known.by_code[c] for c in dict.fromkeys(codes) if c in known.by_code]
    rest = [p for p in known.in_order if p not in named]
    fit = (p for p in (*named, *rest) if _holds(p, thing) and not known.hidden(p.pk))
    return list(fit)[:RECENT]


def _holds(place: Place, thing: str) -> bool:
    """Whether the thing can stand there: no case stands in itself, or in what it carries."""
    return not thing or f"/{thing}/" not in place.path


def places_like(said: str, known: Whereabouts, thing: str = "") -> list[Place]:
    """Places whose code, name or town holds what was typed, that can hold the thing."""
    wanted = folded(said)
    hits = (p for p in known.shown() if wanted in folded(f"{p.code} {known.words(p.pk)} {p.town}"))
    return [p for p in hits if _holds(p, thing)][:FOUND]


@dataclass(frozen=True)
class Load:
    """What a move lifts: grams in the register, and whether all of it has a weight."""

    grams: int
    weighed: bool


def load_of(subject: Subject) -> Load:
    """Weight of a piece, or of everything in a case; a truck is not lifted."""
    place = Place.objects.filter(subject=subject).first()
    if place and place.kind == Place.Kind.TRUCK:
        return Load(0, True)
    found = Piece.objects.filter(subject=subject)
    if place:
        inside = Place.objects.of(place.collection).filter(path__startswith=place.path)
        found = Piece.objects.of(place.collection).filter(
            subject__state__place__in=inside.values("subject")
        )
    masses = list(found.values_list("mass_grams", flat=True))
    if place:
        masses.append(
            CaseSheet.objects.filter(place=place).values_list("tare_grams", flat=True).first()
        )
    return Load(sum(m or 0 for m in masses), all(m is not None for m in masses))


def codes_inside(collection: Collection, code: str) -> list[str]:
    """Codes of pieces that the book says are in a place or in anything inside it."""
    place = Place.objects.of(collection).filter(code=code).first()
    if place is None:
        return []
    inside = Place.objects.of(collection).filter(path__startswith=place.path)
    found = Piece.objects.of(collection).filter(subject__state__place__in=inside.values("subject"))
    return list(found.exclude(subject__state__standing__in=GONE).values_list("code", flat=True))


def offered_as_gone(collection: Collection, ticked: list[str], said: str) -> list[Piece]:
    """Pieces to tick: those ticked already and those like what was typed."""
    wanted, own = folded(said), pieces(collection)
    like = own.filter(search__contains=wanted)[:FOUND] if wanted else ()
    both = {piece.code: piece for piece in (*own.filter(code__in=ticked), *like)}
    return [both[code] for code in sorted(both)]

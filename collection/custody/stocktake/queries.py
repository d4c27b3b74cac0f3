"""Reading stocktakes: which run, what the list was, what the count says beside it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from django.db.models import Count, Q, QuerySet

from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core.events.kind import GONE
from collection.core.stocktake import Compared, compare
from collection.custody.models import Place
from collection.custody.stocktake.models import CountMark, Stocktake
from collection.custody.whereabouts import Whereabouts
from collection.ledger.models import Event, State, Subject
from collection.ledger.queries import superseded
from registry.access.models import Collection, Membership

# Kinds by which the book learns that a thing went, came or was looked for.
PLACING = frozenset(
    "moved lent returned sighted not_found stolen recovered sent_to_repair back_from_repair "
    "sold disposed acquired shipped arrived hired_in hired_back".split()
)
NOT_THERE = (*GONE, "not_found")


def stocktakes(collection: Collection) -> QuerySet[Stocktake]:
    """Stocktakes of a collection, the newest first, with places and states."""
    found = Stocktake.objects.of(collection)
    return found.select_related("place", "collection", "subject__state")


def listed(collection: Collection) -> QuerySet[Stocktake]:
    """Stocktakes with how much was counted in each; 1 query."""
    return stocktakes(collection).annotate(counted=Count("marks"))


def running(collection: Collection) -> QuerySet[Stocktake]:
    """Stocktakes that are neither closed nor given up."""
    return stocktakes(collection).filter(closed_at=None, given_up_at=None)


def overlapping(place: Place, among: Iterable[Stocktake] | None = None) -> Stocktake | None:
    """A running stocktake of the place, of something inside it or of something around it."""
    for one in running(place.collection) if among is None else among:
        if one.place.path.startswith(place.path) or place.path.startswith(one.place.path):
            return one
    return None


def shut_for(
    place: Place, member: Membership, among: Iterable[Stocktake] | None = None
) -> Stocktake | None:
    """The blind count this member takes part in, in which the place's list stays shut."""
    one = overlapping(place, among)
    return one if one and one.blind and counts_in(one, member) else None


def counts_in(stocktake: Stocktake, member: Membership) -> bool:
    """Whether the member began the count or has counted something in it."""
    return member.code in counters(stocktake)


def counters(stocktake: Stocktake) -> tuple[str, ...]:
    """Member codes of whoever began it or counted something, in order of code."""
    by = CountMark.objects.filter(stocktake=stocktake).values_list("by", flat=True)
    return tuple(sorted({stocktake.started_by, *by}))


def countable(collection: Collection) -> QuerySet[Subject]:
    """What can be counted: pieces, and places that travel."""
    return Subject.objects.of(collection).filter(
        Q(kind="piece") | Q(place_row__kind__in=(Place.Kind.CASE, Place.Kind.TRUCK))
    )


def places_inside(place: Place) -> list[Place]:
    """The places inside a place, as the tree runs; 1 query."""
    found = Place.objects.of(place.collection).filter(path__startswith=place.path)
    return list(found.exclude(pk=place.pk).order_by("path"))


def expected_in(place: Place) -> dict[str, str]:
    """Code to place of all that the book has there: pieces not gone, lent or missed, and cases."""
    inside = [place, *places_inside(place)]
    rows = State.objects.of(place.collection).filter(
        subject__kind="piece", place__in=[one.pk for one in inside]
    )
    there = rows.exclude(standing__in=NOT_THERE).select_related("subject", "place")
    away = _lent_out([row.subject_id for row in there if row.holder_id])
    found = {r.subject.code: r.place.code for r in there if r.subject_id not in away}
    code_of = {one.pk: one.code for one in inside}
    return found | {p.code: code_of[p.inside_id] for p in inside[1:] if p.moves}


def _lent_out(subjects: list[int]) -> set[int]:
    """Those whose newest entry of custody is a loan: they are not where they were last put."""
    rows = Event.objects.filter(subject__in=subjects, kind__in=("lent", "moved", "returned"))
    newest = rows.filter(~superseded()).order_by("placed_us", "sequence")
    last = dict(newest.values_list("subject_id", "kind"))
    return {subject for subject, kind in last.items() if kind == "lent"}


def marks_of(stocktake: Stocktake) -> list[CountMark]:
    """What was counted, the newest first, with what is said of each; 1 query."""
    found = CountMark.objects.filter(stocktake=stocktake).select_related(
        "thing__place_row", "thing__piece__design", "photo", "at"
    )
    return list(reversed(found))


@dataclass(frozen=True)
class Thing:
    """A counted or expected thing, named, with where the book has it and what is said of it."""

    code: str
    name: str
    kind: str
    where: str = ""
    standing: str = ""
    is_place: bool = False
    mark: CountMark | None = None
    event: Event | None = None  # what the book was told since


@dataclass(frozen=True)
class Comparison:
    """List and count side by side."""

    groups: Compared
    things: dict[str, Thing]
    unlabelled: list[CountMark]
    late: int

    def _of(self, codes: Iterable[str]) -> list[Thing]:
        return [self.things[code] for code in codes]

    @property
    def as_expected(self) -> list[Thing]:
        """Found where the book has them."""
        return self._of(self.groups.as_expected)

    @property
    def other_place(self) -> list[Thing]:
        """Found, in another place inside."""
        return self._of(self.groups.other_place)

    @property
    def not_seen(self) -> list[Thing]:
        """Expected, and not seen."""
        return self._of(self.groups.not_seen)

    @property
    def too_many(self) -> list[Thing]:
        """Seen here, and the book has them elsewhere."""
        return self._of(self.groups.too_many)

    @property
    def meanwhile(self) -> list[Thing]:
        """Moved, or seen elsewhere, since the count began."""
        return self._of(self.groups.meanwhile)

    @property
    def clean(self) -> bool:
        """Whether list and count agree in everything."""
        return self.groups.clean and not self.unlabelled


def comparison(stocktake: Stocktake, known: Whereabouts) -> Comparison:
    """The count beside the list; the same few queries however much was counted."""
    marks = marks_of(stocktake)
    by_code = {mark.thing.code: mark for mark in marks if mark.thing}
    since = _told_since(stocktake, {*stocktake.expected, *by_code}, known)
    groups = compare(
        stocktake.expected,
        {code: mark.at.code if mark.at else "" for code, mark in by_code.items()},
        meanwhile=since,
        around={p.code: p.path.strip("/").split("/")[:-1] for p in known.rows.values()},
    )
    return side_by_side(stocktake, groups, known, marks=marks, since=since)


def side_by_side(
    stocktake: Stocktake,
    groups: Compared,
    known: Whereabouts,
    *,
    marks: list[CountMark] | None = None,
    since: Mapping[str, Event] | None = None,
) -> Comparison:
    """Groups of codes with what is said of each thing; 2 queries beside the marks."""
    marks = marks_of(stocktake) if marks is None else marks
    by_code = {mark.thing.code: mark for mark in marks if mark.thing}
    named = _named(stocktake.collection, {*stocktake.expected, *by_code}, known)
    things = {
        code: replace(thing, mark=by_code.get(code), event=(since or {}).get(code))
        for code, thing in named.items()
    }
    unlabelled = [mark for mark in marks if mark.thing is None]
    return Comparison(groups, things, unlabelled, sum(mark.late for mark in marks))


def _told_since(stocktake: Stocktake, codes: set[str], known: Whereabouts) -> dict[str, Event]:
    """The newest entry since the count began that moves a thing, or a place it stands in."""
    rows = Event.objects.of(stocktake.collection).filter(
        sequence__gte=stocktake.first_entry, kind__in=PLACING
    )
    told = rows.filter(~superseded()).select_related("subject").order_by("placed_us", "sequence")
    newest = {event.subject.code: event for event in told}
    found: dict[str, Event] = {}
    for code in codes if newest else ():
        place = known.by_code.get(stocktake.expected.get(code, ""))
        nest = [code, *(place.path.strip("/").split("/") if place else ())]
        events = [newest[one] for one in nest if one in newest]
        if events:
            found[code] = max(events, key=lambda event: event.sequence)
    return found


def _named(collection: Collection, codes: set[str], known: Whereabouts) -> dict[str, Thing]:
    """Each thing with its name, what it is, where the book has it and its standing; 1 query."""
    rows = pieces(collection).filter(code__in=codes).select_related("subject__state")
    found = {p.code: _piece_named(p, known) for p in rows}
    for code in codes - found.keys():
        place = known.by_code[code]
        around = known.words(place.inside_id) if place.inside_id else ""
        found[code] = Thing(code, place.name, place.get_kind_display(), around, is_place=True)
    return found


def _piece_named(piece: Piece, known: Whereabouts) -> Thing:
    state = getattr(piece.subject, "state", None)
    where = known.words(state.place_id) if state else ""
    standing = state.standing if state else "held"
    return Thing(piece.code, piece.called, piece.family or piece.kind, where, standing)


def named_list(place: Place, known: Whereabouts) -> list[Thing]:
    """What the book has at a place now, named, by place and code: the list of a printed sheet."""
    expected = expected_in(place)
    named = _named(place.collection, set(expected), known)
    order = {p.code: n for n, p in enumerate(known.in_order)}
    codes = sorted(expected, key=lambda code: (order.get(expected[code], 0), code))
    return [named[code] for code in codes]


def unsigned(collection: Collection) -> list[Stocktake]:
    """Closed stocktakes that wait for a second signature, the oldest first; 1 query."""
    found = stocktakes(collection).filter(
        closed_at__isnull=False, subject__state__condition="closed"
    )
    return sorted(found, key=lambda one: one.closed_at)


@dataclass(frozen=True)
class Waiting:
    """A stocktake that waits for a second signature, as it stands on a day."""

    stocktake: Stocktake
    today: date

    @property
    def overdue_days(self) -> int:
        """Days past the last day for it; 0 while there is time."""
        return max((self.today - self.stocktake.sign_by).days, 0)


def waiting(collection: Collection, *, today: date) -> list[Waiting]:
    """Stocktakes that wait for a second signature, the oldest first; 1 query."""
    return [Waiting(one, today) for one in unsigned(collection)]


def open_counts(thing: Subject, member: Membership) -> list[tuple[Stocktake, bool]]:
    """Blind counts the member takes part in, and whether the thing is in each; 1 query."""
    if not member.records:
        return []
    found = running(member.collection).filter(done_at=None)
    own = Count("marks", filter=Q(marks__by=member.code))
    has = Count("marks", filter=Q(marks__thing=thing))
    mine = found.annotate(own=own, has=has).filter(Q(started_by=member.code) | Q(own__gt=0))
    return [(one, bool(one.has)) for one in mine]


def signing_lines(stocktake: Stocktake) -> list[Event]:
    """The entries on the stocktake itself, the oldest first; 1 query."""
    found = Event.objects.filter(subject=stocktake.subject).filter(~superseded())
    return list(found.select_related("subject").order_by("sequence"))

"""Where pieces stood on a day: in which truck, else in which place."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Q

from collection.catalogue.models import Piece
from collection.core.entry import to_us
from collection.core.events.kind import GONE
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts
from collection.ledger.models import Event, Subject
from collection.ledger.past import states_at
from registry.access.models import Collection

# None of these moves anything or ends its standing; a touring piece has hundreds of them.
SILENT = ("played", "noted", "photographed", "documented", "measured", "settings_noted", "valued")


@dataclass(frozen=True)
class Stood:
    """Where a piece was by the book: the keys of truck and place, who held and owned it."""

    truck: int | None
    place: int | None
    holder: str = ""
    owner: str = ""
    standing: str = "held"

    @property
    def gone(self) -> bool:
        """Whether it had left for good, or was stolen."""
        return self.standing in GONE


def end_of(day: date, collection: Collection) -> datetime:
    """The last moment of a day in the collection's zone."""
    midnight = datetime.min.time()
    return datetime.combine(day + timedelta(days=1), midnight, tzinfo=collection.zone_info)


def stood(
    pieces: Iterable[Piece], known: Whereabouts, *, on: date, today: date
) -> dict[int, Stood]:
    """Where each piece stood at the end of a day, by its key; from today on as the book has it."""
    rows = list(pieces)
    if not rows:
        return {}
    if on >= today:
        return {piece.pk: _now(piece, known) for piece in rows}
    return _then(rows, known, on)


def _now(piece: Piece, known: Whereabouts) -> Stood:
    state = getattr(piece.subject, "state", None)
    if state is None:
        return Stood(None, None)
    chain = known.chain(state.place_id) if state.place_id in known.rows else []
    owner = state.owner.code if state.owner else ""
    holder = state.holder.code if state.holder else ""
    return Stood(*_of(chain), holder, owner, state.standing)


def _of(chain: list[Place]) -> tuple[int | None, int | None]:
    """The innermost truck of a chain, or its outermost place where there is none."""
    truck = next((p.pk for p in reversed(chain) if p.kind == Place.Kind.TRUCK), None)
    return (truck, None) if truck else (None, chain[0].pk if chain else None)


def _then(rows: list[Piece], known: Whereabouts, on: date) -> dict[int, Stood]:
    collection = rows[0].collection
    subjects = Subject.objects.of(collection).filter(
        Q(pk__in=[piece.pk for piece in rows]) | Q(place_row__kind__in=("case", "truck"))
    )
    us = to_us(end_of(on, collection)) - 1
    states = states_at(collection, subjects, us, without=SILENT)
    first = _first_inside(collection)
    found = {}
    for piece in rows:
        state = states.get(piece.pk)
        inside = {pk: one.place for pk, one in states.items() if pk in known.rows}
        chain = _chain(state.place if state else None, known, inside, first)
        said = (state.holder or "", state.owner or "", state.standing) if state else ()
        found[piece.pk] = Stood(*_of(chain), *said)
    return found


def _chain(
    code: str | None, known: Whereabouts, inside: dict[int, str | None], first: dict[str, str]
) -> list[Place]:
    """From the outermost place inwards, as the book had it then; a loop ends where it closes."""
    chain: list[Place] = []
    while code in known.by_code and known.by_code[code] not in chain:
        place = known.by_code[code]
        chain.insert(0, place)
        if place.pk in inside:
            code = inside[place.pk] or first.get(place.code)
        else:
            code = place.inside.code if place.inside else None
    return chain


def _first_inside(collection: Collection) -> dict[str, str]:
    """Where each place stood when it was entered, by code; 1 query."""
    rows = Event.objects.of(collection).filter(
        kind="described", subject__place_row__isnull=False, facts__first=True
    )
    told = rows.values_list("subject__code", "facts")
    return {code: dict(facts["said"]).get("inside", "") for code, facts in told}

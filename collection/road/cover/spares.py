"""What could stand in at any show of a tour, read once; and what differs from show to show."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta

from collection.catalogue.models import Piece
from collection.core.air_limits import flies
from collection.core.backup import Candidate
from collection.core.transit import LEGS
from collection.ledger.models import State
from collection.road.candidates import (
    HIRED,
    UNKNOWN,
    as_quote,
    barred_by_state,
    evidence_of,
    hertz_of,
    hidden_or_lost,
    hired_already,
    may_know_private,
    open_faults,
    word_of,
)
from collection.road.carnet.queries import set_aside_for
from collection.road.models import (
    OutsideCandidate,
    RigPosition,
    RoadQuote,
    Show,
    Tour,
    Travelling,
)
from collection.road.needs import family_of, load_of, traits_asked, traits_of
from collection.road.sites import Atlas, Whereabouts
from registry.access.models import Membership

ON_THE_TOUR = ("patched", "side", "truck")


@dataclass(frozen=True)
class Spare:
    """A candidate with its row; `carried` when it goes where the tour goes."""

    candidate: Candidate
    row: Piece | OutsideCandidate
    carried: bool = False
    where: str = ""

    @property
    def called(self) -> str:
        """What a page calls it."""
        own = isinstance(self.row, Piece)
        return self.row.called if own else f"{self.row.name}, {self.row.held_by}"

    @property
    def phone(self) -> str:
        """The telephone of whoever holds it outside; '' for an own piece."""
        return "" if isinstance(self.row, Piece) else self.row.phone


@dataclass(frozen=True)
class _Known:
    """What is read once for every piece."""

    atlas: Atlas
    tour: Tour
    knows: bool
    along: frozenset[int]
    on_carnet: frozenset[int]
    faults: dict[int, list[str]]
    stands: Mapping[int, str]
    twins: Mapping[int, str]
    asked: frozenset[str]  # tunings, hands and connectors that the positions ask for


def spares(
    places: Atlas, tour: Tour, positions: list[RigPosition], *, member: Membership | None
) -> dict[str, Spare]:
    """Every piece and everything others hold, by code; five queries."""
    rows = list(
        Piece.objects.of(places.collection).select_related(
            "design", "circuit", "twin", "subject__state__holder__party"
        )
    )
    along = dict(Travelling.objects.filter(tour=tour).values_list("piece_id", "on_carnet"))
    known = _Known(
        places, tour, may_know_private(member), frozenset(along),
        frozenset(pk for pk, on in along.items() if on) | frozenset(set_aside_for(tour)),
        open_faults(places.collection),
        {p.backup_id: p.stands for p in positions if p.stands in ON_THE_TOUR},
        {piece.twin_id: piece.code for piece in rows if piece.twin_id},
        frozenset().union(*(traits_asked(p.piece, p) for p in positions if p.piece)),
    )  # fmt: skip
    found = [_own(known, piece) for piece in rows]
    outside = OutsideCandidate.objects.of(places.collection).select_related("design", "at", HIRED)
    found += [_outside(known, row) for row in outside]
    return {one.candidate.code: one for one in found}


def _own(known: _Known, piece: Piece) -> Spare:
    state = getattr(piece.subject, "state", None)
    found = known.atlas.find(state.place_id) if state and state.place_id else UNKNOWN
    hidden = found.private and not known.knows
    nowhere = hidden or found.site is None
    carried = not nowhere and _goes_along(known, piece, state, found)
    stands = known.stands.get(piece.pk) or ("truck" if found.in_truck else "side")
    circuit = piece.circuit
    barred = barred_by_state(known.faults, piece, state)
    candidate = Candidate(
        code=piece.code,
        kind=piece.kind,
        design=piece.design.name if piece.design else piece.code,
        circuit=circuit.name if circuit else piece.code,
        site=_anywhere(known) if nowhere else found.site,
        stands=stands if carried else "away",
        free_from=_leaves(known, found),
        evidence=evidence_of(state),
        twin_of=piece.twin.code if piece.twin else known.twins.get(piece.pk),
        barred=(*barred, *hidden_or_lost(found, state, hidden)),
        on_carnet=nowhere or piece.pk in known.on_carnet,
        mains_volts=piece.mains_volts or (circuit.mains_volts if circuit else None),
        mains_hz=hertz_of(piece),
        load_ohms=load_of(piece),
        traits=traits_of(piece),
        family=family_of(piece),
        on_the_way=word_of(found),
    )
    place = None if hidden or state is None else known.atlas.places.get(state.place_id)
    where = f"{place.name}, {found.site.name}" if place and found.site else ""
    return Spare(candidate, piece, carried, where)


def _goes_along(known: _Known, piece: Piece, state: State, found: Whereabouts) -> bool:
    """In a truck or case of the tour, or unpacked at its hall and on the list of what travels."""
    if found.coming:
        return False
    if found.tour_id == known.tour.pk:
        return True
    here = known.atlas.show_now(known.tour)
    unpacked = here is not None and known.atlas.stands_in(state.place_id, here.venue)
    return unpacked and piece.pk in known.along


def _anywhere(known: _Known):
    """A site for what is barred by its place anyway; it must not tell where that is."""
    shows = known.atlas.shows.get(known.tour.pk, [])
    return next(site for site in map(known.atlas.site, (s.venue for s in shows)) if site)


def _leaves(known: _Known, found: Whereabouts):
    return known.atlas.at + timedelta(minutes=found.leaves_after_minutes)


def _outside(known: _Known, row: OutsideCandidate) -> Spare:
    found = known.atlas.find(row.at_id)
    hidden = found.private and not known.knows
    nowhere = hidden or found.site is None
    candidate = Candidate(
        code=row.code,
        kind=row.kind,
        design=row.design.name if row.design else row.code,
        circuit=row.code,
        site=_anywhere(known) if nowhere else found.site,
        stands="away",
        free_from=_leaves(known, found),
        barred=(*hired_already(row), *_where_from(found, hidden=hidden)),
        on_carnet=nowhere,
        mains_volts=row.mains_volts,
        mains_hz=float(row.mains_hz) if row.mains_hz.isdigit() else None,
        # What others hold is taken for set up as asked: that is what the call is for.
        traits=known.asked,
    )
    return Spare(candidate, row, where=row.at.name)


def _where_from(found: Whereabouts, *, hidden: bool) -> tuple[str, ...]:
    return ("private",) if hidden else () if found.site else (found.said,)


def quotes_to(places: Atlas) -> dict[int, list[RoadQuote]]:
    """What was quoted or confirmed by telephone, by the venue it is for; one query."""
    found: dict[int, list[RoadQuote]] = defaultdict(list)
    rows = RoadQuote.objects.of(places.collection).filter(what__in=LEGS)
    for quote in rows.filter(arrives_at__gt=places.at - timedelta(days=1)):
        found[quote.to_id].append(quote)
    return found


def at_show(
    known: Mapping[str, Spare], show: Show, places: Atlas, quotes: list[RoadQuote]
) -> list[Candidate]:
    """The candidates of one show that has quotes of its own or leaves the truck behind."""
    said: dict[tuple[bool, int], list[RoadQuote]] = defaultdict(list)
    for quote in quotes:
        said[quote.piece_id is not None, quote.piece_id or quote.outside_id].append(quote)
    base = _truck_at(show, places) if show.fly_date else None
    return [_at(spare, said, base, places.site(show.venue)) for spare in known.values()]


def _at(spare: Spare, said, base, here) -> Candidate:
    own = isinstance(spare.row, Piece)
    quoted = tuple(as_quote(quote) for quote in said.get((own, spare.row.pk), ()))
    found = replace(spare.candidate, quotes=quoted)
    if base is None or not spare.carried:
        return found
    if flies(found.kind):
        return replace(found, stands="side", site=here)
    return replace(found, stands="away", site=base)


def _truck_at(show: Show, places: Atlas):
    """Where the truck stands while the player flies: at the show before."""
    shows = [one for one in places.shows.get(show.tour_id, []) if not one.fly_date]
    before = [one for one in shows if (one.on, one.number) < (show.on, show.number)]
    site = places.site(before[-1].venue) if before else None
    return site or places.site(show.venue)

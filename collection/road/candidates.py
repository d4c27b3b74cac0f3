"""Everything that might stand in, as the core's candidates, in a fixed number of queries."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Any

from collection.bench.models import Fault
from collection.catalogue.models import Piece
from collection.core.backup import Candidate, Evidence
from collection.core.closeness import proof_days
from collection.core.distance import Site, kilometres
from collection.core.transit import LEGS, Quote
from collection.core.transit_rules import Rules
from collection.ledger.models import State, Subject
from collection.road.carnet.models import CarnetOverride
from collection.road.carnet.queries import set_aside_for
from collection.road.models import OutsideCandidate, RigPosition, RoadQuote, Travelling
from collection.road.needs import Asked, family_of, load_of, traits_of
from collection.road.sites import Atlas, Whereabouts
from collection.road.standing import BARRED
from collection.road.swapped import swapped
from registry.access.models import Collection, Membership

HIRED = "hired_as__subject__state"
ON_THE_TOUR = ("patched", "side", "truck")
UNKNOWN = Whereabouts(None, "Nobody has said where it is.")


@dataclass(frozen=True)
class Known:
    """A candidate with the row it was made of."""

    candidate: Candidate
    row: Piece | OutsideCandidate
    where: str = ""
    quotes: tuple[RoadQuote, ...] = ()
    set_aside: CarnetOverride | None = None  # why the carnet rule does not hold it back

    @property
    def as_quoted(self) -> dict[str, Piece | OutsideCandidate]:
        """The row under the name a quote keeps it by."""
        return {"piece" if isinstance(self.row, Piece) else "outside": self.row}


@dataclass
class _Table:
    """What is read once for all candidates of one need."""

    asked: Asked
    atlas: Atlas
    rules: Rules
    knows: bool
    positions: list[RigPosition]
    on_carnet: set[int] = field(default_factory=set)
    set_aside: dict[int, CarnetOverride] = field(default_factory=dict)
    quotes: dict[tuple[str, int], list[RoadQuote]] = field(default_factory=dict)
    faults: dict[int, list[str]] = field(default_factory=dict)
    swapped: bool = False  # whether the backup of the position plays since a death tonight


def may_know_private(member: Membership | None) -> bool:
    """Whether somebody may know what lies at private places: whoever records, or the console."""
    return member is None or member.records


def known(
    asked: Asked,
    atlas: Atlas,
    rules: Rules,
    *,
    member: Membership | None,
    positions: list[RigPosition],
) -> dict[str, Known]:
    """All candidates by code, own pieces and outside ones; six queries."""
    table = _table(asked, atlas, rules, may_know_private(member), positions)
    pieces = Piece.objects.of(atlas.collection).select_related(
        "maker", "design", "circuit", "twin", "subject__state__holder__party"
    )
    found = [_own(table, piece) for piece in pieces]
    outside = OutsideCandidate.objects.of(atlas.collection).select_related("design", "at", HIRED)
    found += [_outside(table, row) for row in outside]
    return {one.candidate.code: one for one in found}


def _table(asked: Asked, atlas: Atlas, rules: Rules, knows: bool, positions) -> _Table:
    table = _Table(asked, atlas, rules, knows, positions)
    carried = Travelling.objects.filter(tour=asked.tour, on_carnet=True)
    table.on_carnet = set(carried.values_list("piece_id", flat=True))
    table.set_aside = set_aside_for(asked.tour)
    quotes: dict[tuple[str, int], list[RoadQuote]] = defaultdict(list)
    rows = RoadQuote.objects.of(atlas.collection).filter(to=asked.to, what__in=LEGS)
    for quote in rows.filter(arrives_at__gt=atlas.at - timedelta(days=1)):
        quotes["own" if quote.piece_id else "outside", quote.piece_id or quote.outside_id].append(
            quote
        )
    table.quotes = quotes
    table.faults = open_faults(atlas.collection)
    table.swapped = bool(swapped(asked.show, [asked.position] if asked.position else []))
    return table


def open_faults(collection: Collection) -> dict[int, list[str]]:
    """Open faults by piece, each as its code and symptom; one query."""
    faults: dict[int, list[str]] = defaultdict(list)
    rows = Fault.objects.of(collection).filter(piece__subject__state__open_faults__gt=0)
    for fault in rows:
        faults[fault.piece_id].append(f"{fault.code}, {fault.symptom}")
    return faults


def _own(table: _Table, piece: Piece) -> Known:
    state = getattr(piece.subject, "state", None)
    found = table.atlas.find(state.place_id) if state and state.place_id else UNKNOWN
    hidden = found.private and not table.knows
    place = table.atlas.places.get(state.place_id) if state else None
    need = table.asked.need
    nowhere = hidden or found.site is None
    stands, free_from = _stands(table, piece, found, state)
    quotes = tuple(table.quotes.get(("own", piece.pk), ()))
    candidate = Candidate(
        code=piece.code,
        kind=piece.kind,
        design=piece.design.name if piece.design else piece.code,
        circuit=piece.circuit.name if piece.circuit else piece.code,
        site=need.at if nowhere else found.site,
        stands=stands,
        free_from=free_from,
        evidence=evidence_of(state),
        twin_of=_twin(table.asked.piece, piece),
        barred=(*_barred(table, piece, state), *hidden_or_lost(found, state, hidden)),
        # Whatever has no known place must not tell by a border where it is.
        on_carnet=nowhere or piece.pk in table.on_carnet or piece.pk in table.set_aside,
        mains_volts=piece.mains_volts or (piece.circuit.mains_volts if piece.circuit else None),
        mains_hz=hertz_of(piece),
        load_ohms=load_of(piece),
        traits=traits_of(piece),
        quotes=tuple(map(as_quote, quotes)),
        family=family_of(piece),
        on_the_way=word_of(found),
    )
    where = "" if hidden or place is None else place.name
    return Known(candidate, piece, where, quotes, table.set_aside.get(piece.pk))


def _stands(
    table: _Table, piece: Piece, found: Whereabouts, state: State | None
) -> tuple[str, datetime]:
    """How far it stands from sounding, and from when it is free."""
    now, show = table.atlas.at, table.asked.show
    if found.site is None or found.coming:
        return "away", now
    at_venue = show and state and table.atlas.stands_in(state.place_id, show.venue)
    if show and (at_venue or found.tour_id == show.tour_id):
        planned = _planned(table, piece)
        free = now if at_venue else max(now, _arrives_with_tour(table) or now)
        return planned or ("truck" if found.in_truck else "side"), free
    leaves = now + timedelta(minutes=found.leaves_after_minutes)
    return _near(table.asked.need.at, found.site, table.rules), leaves


def _planned(table: _Table, piece: Piece) -> str:
    position = table.asked.position
    if position and position.backup_id == piece.pk and position.stands in ON_THE_TOUR:
        return position.stands
    return ""


def _arrives_with_tour(table: _Table) -> datetime | None:
    """For a show still to come, when the tour loads in there."""
    show = table.asked.show
    here = table.atlas.show_now(show.tour)
    return None if here and here.pk == show.pk else show.instant("load_in") or table.asked.need.now


def _near(here: Site, there: Site, rules: Rules) -> str:
    return "town" if kilometres(here, there) <= rules.local_km else "away"


def evidence_of(state: State | None) -> tuple[Evidence, ...]:
    """The proofs that a piece works, as the core takes them."""
    proofs = state.detail.get("proofs", ()) if state else ()
    return tuple(
        Evidence(
            level=proof["level"],
            on=date.fromisoformat(proof["on"]),
            voided_by=proof["voided"] or None,
        )
        for proof in proofs
    )


def _twin(failed: Piece, piece: Piece) -> str | None:
    """Twins are twins both ways, whichever of the two says so."""
    if failed.twin_id == piece.pk:
        return failed.code
    return piece.twin.code if piece.twin else None


def _barred(table: _Table, piece: Piece, state: State | None) -> tuple[str, ...]:
    return (*barred_by_state(table.faults, piece, state), *_by_plan(table, piece))


def barred_by_state(faults: dict[int, list[str]], piece: Piece, state: State | None) -> list[str]:
    """What the book says against a piece, as words or sentences."""
    if state is None:
        return []
    found = [BARRED[state.standing]] if state.standing in BARRED else []
    if tag := state.detail.get("tag"):
        how = "It is proposed to tag it out" if tag.get("proposed") else "It is tagged out"
        found.append(f"{how}: DO NOT POWER ({tag['reason']}).")
    if state.holder_id:
        found.append(f"It is lent: {_called(state.holder)} has it.")
    if state.open_faults:
        open_codes = [c for c, s in state.detail.get("faults", ()) if s in _OPEN]
        told = [f for f in faults.get(piece.pk, ()) if f.split(",")[0] in open_codes]
        found += [f"It has an open fault: {fault}." for fault in told] or ["open fault"]
    return found


def _called(holder: Subject) -> str:
    party = getattr(holder, "party", None)
    return party.name if party else holder.code


_OPEN = frozenset({"open", "intermittent", "not-reproduced"})


def _by_plan(table: _Table, piece: Piece) -> Iterable[str]:
    """Whatever leaves another position without is ruled out."""
    mine = table.asked.position
    if mine is not None and mine.backup_id == piece.pk:
        if table.swapped:
            yield "It plays at this position since what stood there went silent."
        return
    for position in table.positions:
        if mine is not None and position.pk == mine.pk:
            continue
        if position.piece_id == piece.pk and piece.pk != table.asked.piece.pk:
            yield f"It plays at position {position}."
        elif position.backup_id == piece.pk:
            yield f"It would leave position {position} without backup."


def hidden_or_lost(found: Whereabouts, state: State | None, hidden: bool) -> tuple[str, ...]:
    """What bars a piece because of its place: private, or nobody knows where."""
    if hidden:
        return ("private",)
    gone = state is not None and state.standing in BARRED and state.standing != "quarantined"
    return () if found.site or gone else (found.said,)


def hertz_of(piece: Piece) -> float | None:
    """The one frequency a piece is made for; '50/60' and nothing said do not bind."""
    if piece.mains_hz:
        return float(piece.mains_hz) if piece.mains_hz.isdigit() else None
    return piece.circuit.mains_hz if piece.circuit else None


def word_of(found: Whereabouts) -> Quote | None:
    """What a carrier says of the arrival of something on the way, as the core takes it."""
    one = found.coming
    if one is None:
        return None
    said = {"leaves_at": one.left_at, "arrives_at": one.expected_at, "basis": one.basis}
    return Quote(what="road", **said)


def as_quote(row: RoadQuote) -> Quote:
    """A quote as the core takes it."""
    return Quote(what=row.what, leaves_at=row.leaves_at, arrives_at=row.arrives_at, basis=row.basis)


def hired_already(row: OutsideCandidate) -> tuple[str, ...]:
    """That it is here under a code of its own, or on its way; nothing once it was given back."""
    state = getattr(row.hired_as.subject, "state", None) if row.hired_as else None
    if state is None or state.standing == "given_back":
        return ()
    return (f"It is hired: here it is called {row.hired_as.code}.",)


def _outside(table: _Table, row: OutsideCandidate) -> Known:
    need, found = table.asked.need, table.atlas.find(row.at_id)
    quotes = tuple(table.quotes.get(("outside", row.pk), ()))
    facts: dict[str, Any] = {
        "code": row.code,
        "kind": row.kind,
        "design": row.design.name if row.design else row.code,
        "circuit": row.code,
        "site": found.site or need.at,
        "stands": _near(need.at, found.site or need.at, table.rules),
        "free_from": table.atlas.at + timedelta(minutes=found.leaves_after_minutes),
        "barred": (*hired_already(row), *(() if found.site else (found.said,))),
        "on_carnet": found.site is None,
        "mains_volts": row.mains_volts,
        "mains_hz": float(row.mains_hz) if row.mains_hz.isdigit() else None,
        # What others hold is taken for set up as asked: that is what the call is for.
        "traits": need.traits,
        "quotes": tuple(map(as_quote, quotes)),
    }
    candidate = Candidate(**facts)
    if found.private and not table.knows:
        candidate = replace(candidate, barred=("private",), site=need.at, on_carnet=True)
    return Known(candidate, row, f"{row.held_by}, {row.at.name}", quotes)


def last_good_day(candidate: Candidate, rules: Rules) -> date | None:
    """The last day on which a candidate's best proof counts."""
    days = proof_days(rules)
    ends = [e.on + timedelta(days=days[e.level]) for e in candidate.evidence if not e.voided_by]
    return max(ends, default=None)

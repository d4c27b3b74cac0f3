"""Reading what is due: plans, when each was last done, and what was played since."""

import secrets
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, tzinfo
from decimal import Decimal, InvalidOperation

from django.db.models import Exists, OuterRef, QuerySet

from collection.bench.due.models import ServicePlan, of_family
from collection.catalogue import queries as catalogue
from collection.catalogue.models import Piece, Position
from collection.core.care import OUTPUT_TUBES, PRESETS, Care
from collection.core.due import Due, Interval, Use, due, spoken_interval, times_a_year
from collection.core.entry import UNKNOWN_US, from_us, to_us
from collection.ledger.models import Event, Mention
from registry.access.models import Collection
from registry.access.queries import member_names

DONE = ("serviced", "inspected", "safety_tested", "issued", "fitted")
AWAY = ("stolen", "sold", "disposed", "stripped", "not_found", "given_back")
RANK = {"due": 0, "coming": 1, "unwritten": 2, "later": 3}
Uses = Mapping[int, Sequence[Use]]


def plans(collection: Collection) -> QuerySet[ServicePlan]:
    """Plans with what they are for; 1 query."""
    return ServicePlan.objects.of(collection).select_related("design", "piece__design")


def pieces(collection: Collection) -> QuerySet[Piece]:
    """Pieces that somebody here can see to."""
    rows = catalogue.pieces(collection).select_related("subject__state")
    return rows.exclude(subject__state__standing__in=AWAY)


@dataclass(frozen=True)
class Chosen:
    """A plan with the name of who chose it."""

    plan: ServicePlan
    who: str


def chosen(collection: Collection) -> list[Chosen]:
    """Every plan, with who chose it; 2 queries."""
    names = member_names(collection)
    return [Chosen(plan, names.get(plan.chosen_by, plan.chosen_by)) for plan in plans(collection)]


@dataclass(frozen=True)
class DueLine:
    """A plan on a piece as it stands; `once` for its press."""

    plan: ServicePlan
    piece: Piece
    due: Due
    once: str = field(default_factory=lambda: secrets.token_hex(16))


@dataclass
class Past:
    """What the book says of pieces: shows played, and work by its name, with days."""

    played: dict[int, list[Use]] = field(default_factory=lambda: defaultdict(list))
    work: dict[tuple[int, str], list[Use]] = field(default_factory=lambda: defaultdict(list))

    def last(self, piece: int, what: str) -> tuple[date, int] | None:
        """Day and place of the last time work was done; a show is a check that it works."""
        done = list(self.work.get((piece, what), ()))
        if what == "inspected":
            done += self.played.get(piece, ())
        newest = max(done, key=lambda one: one.at_us) if done else None
        return (newest.on, newest.at_us) if newest else None


def past_of(collection: Collection, rows: Iterable[Piece]) -> Past:
    """Shows and work of pieces, from the effective entries that name them; 2 queries."""
    numbers = [piece.pk for piece in rows]
    sockets = _output_sockets(collection)
    circuits = {piece.pk: piece.circuit_id for piece in rows}
    past, zone = Past(), collection.zone_info
    for mention in _mentions(collection, numbers):
        event, piece = mention.entry, mention.subject_id
        if event.kind == "played":
            past.played[piece].append(_use(event, zone))
        elif what := _work(event, sockets.get(circuits.get(piece), frozenset())):
            past.work[piece, what].append(_use(event, zone))
    return past


def _mentions(collection: Collection, numbers: list[int]) -> QuerySet[Mention]:
    later = Event.objects.filter(
        collection=OuterRef("entry__collection"), corrects=OuterRef("entry__sequence")
    )
    rows = Mention.objects.filter(
        subject__in=numbers, entry__kind__in=("played", *DONE), placed_us__gt=UNKNOWN_US
    )
    shown = rows.filter(~Exists(later)).exclude(role="donor").select_related("entry")
    return shown.only("subject_id", "placed_us", "entry__kind", "entry__facts", "entry__placed_us")


def _output_sockets(collection: Collection) -> dict[int, frozenset[str]]:
    """Names of the output tubes' sockets by circuit, that of the whole set among them."""
    found: dict[int, set[str]] = defaultdict(set)
    rows = Position.objects.filter(circuit__collection=collection, matched_with="output")
    for circuit, name in rows.values_list("circuit_id", "name"):
        found[circuit].add(name)
    return {circuit: frozenset({*names, "output"}) for circuit, names in found.items()}


def _work(event: Event, sockets: frozenset[str]) -> str:
    """What an entry counts as: the care itself, a check that went well, or new output tubes."""
    if event.kind == "serviced":
        return str(event.facts.get("what", ""))
    if event.kind == "inspected":
        return "inspected" if event.facts.get("result") == "works" else ""
    if event.kind == "safety_tested":
        return "safety_tested" if event.facts.get("passed") else ""
    put_in = event.facts.get("how", "done") == "done"  # not merely found in there
    return OUTPUT_TUBES if put_in and event.facts.get("position") in sockets else ""


def _use(event: Event, zone: tzinfo) -> Use:
    facts = event.facts
    return Use(
        from_us(event.placed_us).astimezone(zone).date(),
        event.placed_us,
        hours(facts.get("ht_hours", "")),
        hours(facts.get("heater_hours", "")),
    )


def hours(text: object) -> Decimal:
    """Decimal hours of a text; nought when there is none."""
    try:
        number = Decimal(str(text))
    except InvalidOperation:
        return Decimal(0)
    return number if number.is_finite() else Decimal(0)


def due_lines(
    collection: Collection, rows: Sequence[Piece], *, coming: Uses, today: date, until: date
) -> list[DueLine]:
    """Every active plan on every piece it fits, what is due first; 4 queries with the pieces."""
    chosen = list(plans(collection).filter(active=True))
    if not chosen:
        return []
    past = past_of(collection, rows)
    lines = [
        DueLine(plan, piece, _due(plan, piece, past, coming, today=today, until=until))
        for plan in chosen
        for piece in rows
        if plan.fits(piece)
    ]
    return sorted(lines, key=_order)


def _due(
    plan: ServicePlan, piece: Piece, past: Past, coming: Uses, *, today: date, until: date
) -> Due:
    own = plan.recorded_as or plan.what
    uses = past.played.get(piece.pk, ())
    if plan.measured_by == "after":
        uses = _owed(plan, past.work.get((piece.pk, plan.after_what), ()))
    return due(
        Interval(plan.every, plan.measured_by),
        last=past.last(piece.pk, own),
        uses=uses,
        coming=coming.get(piece.pk, ()),
        today=today,
        until=until,
    )


def _owed(plan: ServicePlan, others: Sequence[Use]) -> list[Use]:
    """Other work since the plan began; what lies before that was never asked for."""
    begun_us = to_us(plan.begun_at)
    return [one for one in others if one.at_us >= begun_us]


def _order(line: DueLine) -> tuple[int, date, Decimal, str]:
    by = line.due.by or date.max
    return RANK[line.due.standing], by, -line.due.share, line.piece.code


@dataclass(frozen=True)
class Option:
    """An interval somebody uses, and what it would come to here in a year."""

    every: Decimal
    words: str
    times: Decimal | None

    @property
    def rounded(self) -> str:
        """Times a year over all pieces it fits, '' where that depends on other work."""
        return "" if self.times is None else f"{self.times:.0f}" if self.times >= 1 else "under 1"


@dataclass(frozen=True)
class Preset:
    """A preset with what each of its options would consume a year."""

    care: Care
    options: list[Option]
    pieces: int


def presets(collection: Collection, *, today: date) -> list[Preset]:
    """Every preset with its yearly use at the use of the last 365 days; 3 queries."""
    rows = list(pieces(collection))
    past = past_of(collection, rows)
    return [_preset(care, rows, past, today=today) for care in PRESETS]


def _preset(care: Care, rows: Sequence[Piece], past: Past, *, today: date) -> Preset:
    fitting = [piece for piece in rows if _suits(care, piece)]
    options = []
    for every in care.options:
        interval = Interval(every, care.measured_by)
        each = [times_a_year(interval, past.played.get(p.pk, ()), today=today) for p in fitting]
        known = [number for number in each if number is not None]
        times = sum(known, Decimal(0)) if len(known) == len(each) else None
        words = spoken_interval(every, care.measured_by, care.after_what)
        options.append(Option(every, words, times))
    return Preset(care, options, len(fitting))


def _suits(care: Care, piece: Piece) -> bool:
    return piece.kind in care.kinds and of_family(piece, care.family)

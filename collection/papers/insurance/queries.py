"""What the pages of insurance show: schedules, loads against limits, what to look at."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from django.db.models import Q, QuerySet

from collection.catalogue.models import Piece
from collection.core import insurance
from collection.core.entry import to_us
from collection.core.events.kind import GONE
from collection.core.insurance import Load
from collection.custody.loans.models import Loan, LoanedPiece
from collection.custody.models import Party, Place
from collection.custody.whereabouts import Whereabouts
from collection.papers.insurance import values
from collection.papers.insurance.models import Insured, Policy
from collection.papers.insurance.nights import NightLine, nights
from collection.papers.insurance.standing import Stood, end_of, stood
from collection.papers.insurance.values import Value
from collection.road.models import Show, Tour, Travelling
from registry.access.models import Collection

PIECE = ("piece__subject__state__owner", "piece__subject__state__holder", "piece__maker",
         "piece__design", "piece__collection")  # fmt: skip


COVERED = "covered by who borrows it"


@dataclass(frozen=True)
class Line:
    """A piece of a schedule: its value, whose it is, where it stands."""

    row: Insured
    value: Value | None
    stood: Stood
    owner: str
    today: date

    @property
    def piece(self) -> Piece:
        return self.row.piece

    @property
    def findings(self) -> list[str]:
        """What somebody should look at, in words."""
        policy, value, found = self.row.policy, self.value, []
        if self.stood.gone:
            found.append(f"insured, yet {self.stood.standing.replace('_', ' ')}")
        if value is None:
            return [*found, "not valued"]
        if value.old(self.today):
            found.append("value older than 3 years" if value.on else "value without a day")
        if value.currency != policy.currency:
            return [*found, f"valued in {value.currency}, the policy is in {policy.currency}"]
        if policy.per_item_minor is not None and value.minor > policy.per_item_minor:
            found.append("above the limit for one piece")
        if policy.excess_minor and value.minor <= policy.excess_minor:
            found.append("not worth more than the excess")
        return found


@dataclass(frozen=True)
class Standing:
    """Pieces of one policy in one truck or place, against its limit."""

    policy: Policy
    where: str
    code: str
    load: Load
    vehicle: bool
    place_private: bool = False


@dataclass(frozen=True)
class Schedule:
    """A policy with its lines on a day."""

    policy: Policy
    lines: tuple[Line, ...]
    known: Whereabouts
    on: date

    @property
    def totals(self) -> tuple[tuple[str, int], ...]:
        """Sums by currency; currencies are never added up."""
        return tuple(sorted(insurance.sums(self._items(self.lines)).items()))

    @property
    def unvalued(self) -> int:
        """How many lines are in no sum."""
        return sum(line.value is None for line in self.lines)

    @property
    def runs(self) -> bool:
        """Whether the day lies in its period."""
        return self.policy.begins_on <= self.on <= self.policy.ends_on

    @cached_property
    def standings(self) -> tuple[Standing, ...]:
        """Each truck and place with its sum, those over their limit first."""
        together: dict[tuple[int | None, bool], list[Line]] = defaultdict(list)
        for line in self.lines:
            if not line.stood.gone:
                vehicle = line.stood.truck is not None
                together[(line.stood.truck or line.stood.place, vehicle)].append(line)
        found = [self._standing(pk, vehicle, some) for (pk, vehicle), some in together.items()]
        return tuple(sorted(found, key=lambda s: (-s.load.over_minor, not s.vehicle, s.where)))

    def _standing(self, pk: int | None, vehicle: bool, lines: list[Line]) -> Standing:
        policy = self.policy
        limit = policy.per_vehicle_minor if vehicle else policy.per_place_minor
        if pk is None or self.known.rows[pk].kind == Place.Kind.ON_THE_WAY:
            limit = None  # a carrier's vehicle is none of ours
        where = self.known.name(pk) or "nobody has said where"
        code = self.known.rows[pk].code if pk is not None else ""
        load = insurance.load(self._items(lines), currency=policy.currency, limit_minor=limit)
        private = pk is not None and self.known.private(pk)
        return Standing(policy, where, code, load, vehicle, private)

    @staticmethod
    def _items(lines: Iterable[Line]) -> list[insurance.Item]:
        return [values.item(line.piece, line.value) for line in lines]

    @property
    def to_look_at(self) -> list[Line]:
        return [line for line in self.lines if line.findings]


@dataclass(frozen=True)
class Loaded:
    """A truck as it will be when everything that travels is back in it, against a limit."""

    truck: Place
    tour: Tour
    policy: Policy
    load: Load


def loaded(
    found: Iterable[Schedule], collection: Collection, known: Whereabouts, *, on: date
) -> list[Loaded]:
    """Trucks of the tours that are on, once loaded; 2 queries.

    A travelling piece goes back into the truck that its usual place lies in, else into the only
    truck of its tour; what stands in a truck already stays there. A house rule.
    """
    rows = Travelling.objects.filter(
        tour__collection=collection, tour__starts_on__lte=on, tour__ends_on__gte=on
    ).select_related("tour", "piece")
    tours = {row.piece_id: row.tour for row in rows.prefetch_related("tour__places")}
    together: dict[tuple[int, int], list[Line]] = defaultdict(list)
    policy_of = {}
    for schedule in found:
        policy_of[schedule.policy.pk] = schedule.policy
        for line in schedule.lines:
            tour = tours.get(line.row.piece_id)
            truck = _goes_into(line, tour, known) if tour and not line.stood.gone else None
            if truck is not None:
                together[schedule.policy.pk, truck].append(line)
    return [
        _loaded(policy_of[policy], known.rows[truck], lines, tours)
        for (policy, truck), lines in sorted(together.items())
    ]


def _goes_into(line: Line, tour: Tour, known: Whereabouts) -> int | None:
    if line.stood.truck is not None:
        return line.stood.truck
    usual = line.piece.usual_place_id
    chain = known.chain(usual) if usual in known.rows else []
    trucks = [p.pk for p in chain if p.kind == Place.Kind.TRUCK]
    along = [p.pk for p in tour.places.all() if p.kind == Place.Kind.TRUCK]
    return trucks[-1] if trucks else (along[0] if len(along) == 1 else None)


def _loaded(policy: Policy, truck: Place, lines: list[Line], tours: dict[int, Tour]) -> Loaded:
    items = [values.item(line.piece, line.value) for line in lines]
    limit = policy.per_vehicle_minor
    load = insurance.load(items, currency=policy.currency, limit_minor=limit)
    return Loaded(truck, tours[lines[0].row.piece_id], policy, load)


def policies(collection: Collection) -> QuerySet[Policy]:
    """Policies of a collection, the newest first."""
    return Policy.objects.of(collection).select_related("insurer", "subject", "collection")


def covering(collection: Collection, on: date) -> QuerySet[Insured]:
    """What was insured on a day, whatever the period of its policy."""
    rows = Insured.objects.filter(policy__collection=collection, since__lte=on)
    return rows.filter(Q(until__isnull=True) | Q(until__gt=on)).select_related(
        "policy__insurer", *PIECE
    )


def schedules(
    collection: Collection, known: Whereabouts, *, on: date, today: date
) -> list[Schedule]:
    """Every policy with its lines on a day; 5 queries for today, 11 for a day in the past."""
    rows = list(covering(collection, on).order_by("piece__code"))
    past = on < today
    us = to_us(end_of(on, collection)) - 1 if past else None
    worth = values.histories(collection, until_us=us)
    where = stood([row.piece for row in rows], known, on=on, today=today)
    names = dict(Party.objects.of(collection).values_list("code", "name"))
    lines: dict[int, list[Line]] = defaultdict(list)
    for row in rows:
        here = where[row.piece_id]
        value = values.value_of(row.piece, worth.get(row.piece_id), now=not past)
        lines[row.policy_id].append(Line(row, value, here, names.get(here.owner, ""), on))
    return [
        Schedule(policy, tuple(lines.get(policy.pk, ())), known, on)
        for policy in policies(collection)
    ]


def uninsured(collection: Collection, *, on: date) -> QuerySet[Piece]:
    """Pieces in our hands that no policy covers on a day."""
    covered = covering(collection, on).filter(policy__begins_on__lte=on, policy__ends_on__gte=on)
    found = Piece.objects.of(collection).exclude(pk__in=covered.values("piece"))
    found = found.exclude(subject__state__standing__in=GONE)
    return found.select_related("subject__state__holder", "subject__state__owner").order_by("code")


@dataclass(frozen=True)
class Bare:
    """A piece that no policy covers: why that matters ('' at home), and whose it is."""

    piece: Piece
    why: str
    owner: str


def bare(collection: Collection, known: Whereabouts, *, on: date, today: date) -> list[Bare]:
    """Pieces that nobody insures: first those that travel, are lent or stand in a truck.

    A piece whose borrower covers it by the words of its loan is not among them. The same number
    of queries whatever the size.
    """
    rows = list(uninsured(collection, on=on))
    travels = dict(
        Travelling.objects.filter(
            tour__collection=collection, tour__starts_on__lte=on, tour__ends_on__gte=on
        ).values_list("piece", "tour__name")
    )
    lent = {
        row.piece_id: row.loan
        for row in LoanedPiece.objects.filter(
            loan__collection=collection, loan__way=Loan.Way.OUT, loan__begins_on__lte=on
        ).exclude(back_on__lte=on).select_related("loan__party")
    }  # fmt: skip
    where = stood(rows, known, on=on, today=today)
    names = dict(Party.objects.of(collection).values_list("code", "name"))
    found = []
    for piece in rows:
        at = where[piece.pk]
        why = _why(travels.get(piece.pk), lent.get(piece.pk), known.name(at.truck))
        if why != COVERED and not at.gone:
            found.append(Bare(piece, why, names.get(at.owner, "")))
    return sorted(found, key=lambda one: (not one.why, one.piece.code))


def _why(tour: str | None, loan: Loan | None, truck: str) -> str:
    if loan is not None:
        return COVERED if loan.insurer else f"lent to {loan.party.name}"
    return f"travels on {tour}" if tour else (f"in {truck}" if truck else "")


@dataclass(frozen=True)
class TourCover:
    """A tour held against one policy: stops outside of its territory, and outside of its days."""

    tour: Tour
    policy: Policy
    abroad: tuple[tuple[date, str], ...]
    late: tuple[tuple[date, str], ...]

    @property
    def holds(self) -> bool:
        """Whether every stop lies in territory and period."""
        return not self.abroad and not self.late


def covers(tours: Iterable[Tour], every: Iterable[Policy]) -> list[TourCover]:
    """Each tour against each policy that covers a day of it; 1 query."""
    tours, stops = list(tours), defaultdict(list)
    for tour, on, country in Show.objects.filter(tour__in=tours).values_list(
        "tour", "on", "venue__country"
    ):
        stops[tour].append((on, country))
    return [
        TourCover(
            tour, policy,
            *insurance.outside(
                stops[tour.pk], territory=policy.territory, begins=policy.begins_on,
                ends=policy.ends_on,
            ),
        )
        for tour in tours
        for policy in every
        if policy.begins_on <= tour.ends_on and policy.ends_on >= tour.starts_on
    ]  # fmt: skip


def tours_ahead(collection: Collection, on: date) -> QuerySet[Tour]:
    """Tours that are not over on a day."""
    return Tour.objects.of(collection).filter(ends_on__gte=on).order_by("starts_on")


@dataclass(frozen=True)
class Overview:
    """Everything of insurance at once, on a day."""

    schedules: list[Schedule]
    bare: list[Bare] = field(default_factory=list)
    nights: list[NightLine] = field(default_factory=list)
    covers: list[TourCover] = field(default_factory=list)
    loaded: list[Loaded] = field(default_factory=list)

    @property
    def bare_away(self) -> list[Bare]:
        """Insured by nobody, though it travels or is lent."""
        return [one for one in self.bare if one.why]

    @property
    def bare_home(self) -> list[Bare]:
        """Insured by nobody, and staying where it is."""
        return [one for one in self.bare if not one.why]

    @property
    def over_when_loaded(self) -> list[Loaded]:
        return [one for one in self.loaded if one.load.over_minor]

    @property
    def standings(self) -> list[Standing]:
        return [one for schedule in self.schedules for one in schedule.standings]

    @property
    def over(self) -> list[Standing]:
        return [one for one in self.standings if one.load.over_minor]

    @property
    def to_look_at(self) -> list[Line]:
        return [line for schedule in self.schedules for line in schedule.to_look_at]

    @property
    def outside(self) -> list[TourCover]:
        return [one for one in self.covers if not one.holds]


def overview(collection: Collection, known: Whereabouts, *, on: date, today: date) -> Overview:
    """Policies, loads, flags and the last nights, on a day."""
    found = schedules(collection, known, on=on, today=today)
    return Overview(
        found,
        bare(collection, known, on=on, today=today),
        nights(collection, policies(collection), limit=6),
        covers(tours_ahead(collection, on), [one.policy for one in found]),
        loaded(found, collection, known, on=on),
    )


# -- choices of forms ------------------------------------------------------------------------
def held_codes(policy: Policy) -> list[str]:
    """Codes of what stands under a policy now."""
    rows = Insured.objects.filter(policy=policy, until__isnull=True)
    return list(rows.values_list("piece__code", flat=True))


def offered(collection: Collection, held: Iterable[str]) -> list[Piece]:
    """Pieces that may be put under a policy, and those that are, by code."""
    found = Piece.objects.of(collection).filter(
        ~Q(subject__state__standing__in=GONE) | Q(code__in=list(held))
    )
    return list(found.select_related("design", "maker").order_by("code"))


def cover_of(piece: Piece, *, on: date) -> Insured | None:
    """What covers a piece on a day; None where nothing does."""
    rows = covering(piece.collection, on).filter(piece=piece)
    return rows.filter(policy__begins_on__lte=on, policy__ends_on__gte=on).first()

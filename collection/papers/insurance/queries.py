"""What the pages of insurance show: schedules, pieces that nobody insures, what to look at."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from django.db.models import Q, QuerySet

from collection.catalogue.models import Piece
from collection.core.entry import to_us
from collection.core.events.kind import GONE
from collection.custody.loans.models import Loan, LoanedPiece
from collection.custody.models import Party
from collection.custody.whereabouts import Whereabouts
from collection.papers.insurance import values
from collection.papers.insurance.models import Insured, Policy
from collection.papers.insurance.nights import NightLine, nights
from collection.papers.insurance.on_tour import Loaded, TourCover, covers, loaded, tours_ahead
from collection.papers.insurance.schedule import Line, Schedule, Standing
from collection.papers.insurance.standing import end_of, stood
from collection.road.models import Travelling
from registry.access.models import Collection

PIECE = ("piece__subject__state__owner", "piece__subject__state__holder", "piece__maker",
         "piece__design", "piece__collection")  # fmt: skip


COVERED = "covered by who borrows it"


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

"""What insurance has to say of tours: trucks once loaded, stops outside of territory and days."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from collection.core import insurance
from collection.core.insurance import Load
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts
from collection.papers.insurance import values
from collection.papers.insurance.models import Policy
from collection.papers.insurance.schedule import Line, Schedule
from collection.road.models import Show, Tour, Travelling
from registry.access.models import Collection


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

"""What is due by the next day off or the bench slot, with the shows of the tour in sight."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q

from collection.bench.due import queries as bench
from collection.bench.due.queries import DueLine
from collection.catalogue.models import Piece
from collection.core.due import Slots, Use, slots
from collection.core.entry import to_us
from collection.custody.loans.queries import LoanLine, all_loans
from collection.road.day_sheet import heater_hours, ht_hours
from collection.road.models import RigPosition, Show
from registry.access.models import Collection

STRINGS = "strings"  # they have a list of their own on the page of tonight


@dataclass(frozen=True)
class Board:
    """The due list as a bench log: by the next day off, by the bench slot, after that."""

    slots: Slots
    shows: int
    by_day_off: list[DueLine]
    by_bench: list[DueLine]
    unwritten: list[DueLine]
    later: list[DueLine]
    plans: int
    overdue: list[LoanLine]  # loans past their end; the only thing here that is red


def board(collection: Collection, *, today: date) -> Board:
    """Everything due, in the order in which there is time for it; the same few queries."""
    shows = coming_shows(collection, today=today)
    free = free_days(shows, today=today)
    rows = list(bench.pieces(collection))
    coming = uses_to_come(shows)
    lines = bench.due_lines(collection, rows, coming=coming, today=today, until=free.bench)
    due = [one for one in lines if one.due.standing in ("due", "coming")]
    return Board(
        slots=free,
        shows=len(shows),
        by_day_off=[one for one in due if _by(one, free.day_off)],
        by_bench=[one for one in due if not _by(one, free.day_off)],
        unwritten=[one for one in lines if one.due.standing == "unwritten"],
        later=[one for one in lines if one.due.standing == "later"],
        plans=bench.plans(collection).filter(active=True).count(),
        overdue=all_loans(collection, today=today).overdue,
    )


def _by(line: DueLine, day: date) -> bool:
    return line.due.standing == "due" or (line.due.by is not None and line.due.by <= day)


def coming_shows(collection: Collection, *, today: date) -> list[Show]:
    """Shows from today on that nobody has logged, in order; 1 query."""
    rows = Show.objects.of(collection).filter(on__gte=today)
    unplayed = rows.exclude(Q(subject__state__condition="played"))
    return list(unplayed.select_related("venue", "tour", "collection").order_by("on", "number"))


def free_days(shows: Sequence[Show], *, today: date) -> Slots:
    """The next day off and bench slot; today is one when nothing is played today."""
    return slots((show.on for show in shows), today - timedelta(days=1))


def uses_to_come(shows: Sequence[Show]) -> dict[int, list[Use]]:
    """What each piece of a rig plan will be played, by the day sheets; 1 query."""
    tours = {show.tour_id for show in shows}
    playing: dict[int, set[int]] = defaultdict(set)
    rows = RigPosition.objects.filter(tour__in=tours, piece__isnull=False)
    for tour, piece in rows.values_list("tour_id", "piece_id"):
        playing[tour].add(piece)
    found: dict[int, list[Use]] = defaultdict(list)
    for show in shows:
        for piece in playing[show.tour_id]:
            found[piece].append(_expected(show))
    return found


def _expected(show: Show) -> Use:
    start = show.instant("on_stage") or show.instant("doors")
    at_us = to_us(start) if start else 0
    return Use(show.on, at_us, bench.hours(ht_hours(show)), bench.hours(heater_hours(show)))


def due_on(
    collection: Collection, pieces: Sequence[Piece], shows: Sequence[Show], *, today: date
) -> list[DueLine]:
    """What is due by the next day off on these pieces; strings have a list of their own."""
    free = free_days(shows, today=today)
    lines = bench.due_lines(
        collection, pieces, coming=uses_to_come(shows), today=today, until=free.day_off
    )
    return [
        one for one in lines
        if one.due.standing in ("due", "coming") and one.plan.what != STRINGS
    ]  # fmt: skip

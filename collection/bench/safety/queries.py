"""Reading mains safety: what runs from the mains, when it last passed, when it is asked again."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q, QuerySet

from collection.bench import queries as bench
from collection.bench.due.models import ServicePlan
from collection.bench.due.queries import AWAY, plans
from collection.catalogue.models import Piece, PieceKind
from registry.access.models import Collection

SOON = timedelta(days=60)  # house rule: listed as coming so long before
RANK = {"over": 0, "never": 1, "soon": 2, "later": 3, "unasked": 4}


@dataclass(frozen=True)
class Tested:
    """A piece from the mains: the day of its last pass and the plan that asks for the next.

    `standing`: 'over' (the day has passed), 'never' (asked for, no pass in the book), 'soon',
    'later', 'unasked' (nobody has chosen an interval for it).
    """

    __test__ = False  # no test of pytest, whatever its name begins with

    piece: Piece
    passed_on: date | None
    plan: ServicePlan | None
    by: date | None
    standing: str
    tagged: bool


def mains_pieces(collection: Collection) -> QuerySet[Piece]:
    """Pieces that run from the mains and are here: amplifiers, and what says its mains volts."""
    fed = Q(kind=PieceKind.AMPLIFIER) | Q(mains_volts__isnull=False)
    fed |= Q(circuit__mains_volts__isnull=False)
    return bench.pieces(collection).filter(fed).exclude(subject__state__standing__in=AWAY)


def safety_plans(collection: Collection) -> list[ServicePlan]:
    """Intervals of safety tests in days that somebody chose, the narrowest first."""
    rows = plans(collection).filter(
        active=True, done_by=ServicePlan.DoneBy.SAFETY_TESTED, measured_by="days"
    )
    return sorted(rows, key=lambda plan: plan.every)


def tested(collection: Collection, *, today: date) -> list[Tested]:
    """Every piece from the mains, what is over its day first; 2 queries."""
    chosen = safety_plans(collection)
    found = [_tested(piece, chosen, today=today) for piece in mains_pieces(collection)]
    return sorted(found, key=lambda one: (RANK[one.standing], one.by or date.max, one.piece.code))


def _tested(piece: Piece, chosen: list[ServicePlan], *, today: date) -> Tested:
    state = bench.state_of(piece)
    passed = date.fromisoformat(state.safety_passed_on) if state.safety_passed_on else None
    plan = next((one for one in chosen if one.fits(piece)), None)
    by = passed + timedelta(days=int(plan.every)) if plan and passed else None
    tagged = bool(state.tag and not state.tag.proposed)
    return Tested(piece, passed, plan, by, _standing(plan, by, today=today), tagged)


def _standing(plan: ServicePlan | None, by: date | None, *, today: date) -> str:
    if plan is None:
        return "unasked"
    if by is None:
        return "never"
    if by < today:
        return "over"
    return "soon" if by <= today + SOON else "later"

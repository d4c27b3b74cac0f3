"""Writing plans, and doing what is due."""

from datetime import datetime
from typing import Any

from collection.bench import actions as bench
from collection.bench.due.models import ServicePlan
from collection.catalogue.models import Piece
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership


def choose_plan(
    *, collection: Collection, by: Membership, at: datetime | None = None, **said: Any
) -> ServicePlan:
    """Choose an interval, with a reason; it stands with who chose it and when (`at`, or now)."""
    now = at or clock.now()
    plan = ServicePlan(
        collection=collection, chosen_by=by.code, chosen_at=now, begun_at=now, **said
    )
    plan.full_clean()
    plan.save()
    return plan


def change_plan(*, plan: ServicePlan, by: Membership, **said: Any) -> ServicePlan:
    """Choose anew: whoever changes a plan has chosen it."""
    for name, value in said.items():
        setattr(plan, name, value)
    plan.chosen_by, plan.chosen_at = by.code, clock.now()
    plan.full_clean()
    plan.save()
    return plan


def rest_plan(*, plan: ServicePlan, active: bool) -> ServicePlan:
    """Let a plan rest, or wake it; what was done stays in the book either way."""
    plan.active = active
    plan.save(update_fields=["active"])
    return plan


def did_it(
    *,
    plan: ServicePlan,
    by: Membership,
    piece: Piece,
    found: str = "",
    telling: Telling | None = None,
) -> Event:
    """The work of a plan was done on a piece, with what was measured or seen."""
    told = telling or Telling()
    if not told.happened:
        today = clock.today(plan.collection.zone_info).isoformat()
        told = Telling(**(vars(told) | {"happened": today}))
    return bench.serve(
        collection=plan.collection,
        by=by,
        code=piece.code,
        what=plan.what,
        detail=found,
        telling=told,
    )

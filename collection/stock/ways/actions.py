"""Keeping a way as a named plan, with the figures of the day."""

from datetime import datetime
from typing import Any

from django.db import transaction

from collection.stock.asked import CHANCES, Asked, outcome
from collection.stock.forecast import Prospect
from collection.stock.ways.models import ThriftPlan
from collection.stock.ways.way import Way, put
from registry.access.models import Membership


class NameTaken(ValueError):
    """Another plan of this stock has the name."""


def keep_plan(
    *,
    prospect: Prospect,
    by: Membership,
    name: str,
    way: Way,
    because: str = "",
    now: datetime,
) -> ThriftPlan:
    """A plan with who, when, what was changed, and both forecasts; raises Refused, NameTaken."""
    found = put(prospect, way)
    stock = prospect.stock
    figures = {
        "now": _figures(found.now, found.used_now),
        "then": _figures(found.then, found.used_a_year),
        "use": prospect.use.basis,
        "law": found.now.law.basis,
        "reserve": way.reserve,
        "spares": prospect.spares,
        "in_reserve": prospect.reserve,
    }
    with transaction.atomic():
        taken = ThriftPlan.objects.of(by.collection).filter(type=stock.lead, name=name)
        if taken.exists():
            raise NameTaken(f"A plan of {stock.name} is called '{name}' already.")
        return ThriftPlan.objects.create(
            collection=by.collection,
            type=stock.lead,
            name=name,
            because=because,
            inputs=way.kept(),
            figures=figures,
            made_by=by.code,
            made_at=now,
        )


def _figures(asked: Asked, used_a_year: float | None) -> dict[str, Any]:
    found = outcome(asked)
    return {
        "units": found.units,
        "quantiles": {str(p): found.quantiles[p] for p in CHANCES},
        "used_a_year": used_a_year,
        "failures_per_show": found.failures_per_show,
        "shows_per_year": asked.usage.shows_per_year,
        "hours_per_show": asked.usage.hours_per_show,
        "by_year": asked.by_year.tolist(),
    }

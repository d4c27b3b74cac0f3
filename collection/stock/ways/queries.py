"""Kept plans, and what came into a stock since one was kept."""

from datetime import datetime

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from collection.core.entry import to_us
from collection.stock.queries.log import logged
from collection.stock.records import TypeStock
from collection.stock.ways.models import ThriftPlan
from registry.access.models import Collection


def plans_of(collection: Collection, stock: TypeStock | None = None) -> QuerySet[ThriftPlan]:
    """Kept plans, the newest first; of one stock where it is given."""
    rows = ThriftPlan.objects.of(collection).select_related("type")
    return rows if stock is None else rows.filter(type__in=stock.types)


def plan_named(collection: Collection, number: int) -> ThriftPlan:
    """A kept plan; raises Http404."""
    return get_object_or_404(plans_of(collection), pk=number)


def received_since(collection: Collection, stock: TypeStock, since: datetime) -> int:
    """Units of a stock that came in since an instant; 2 queries."""
    lots = [held.lot.code for held in stock.lots]
    told = logged(collection, ("received",), naming=lots)
    return sum(one.event.facts["units"] for one in told if one.at[0] >= to_us(since))

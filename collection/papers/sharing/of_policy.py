"""What is handed out of a policy: its schedule of today."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from collection.custody.whereabouts import whereabouts
from collection.papers.insurance.queries import schedules
from collection.papers.insurance.sheet import make_schedule

if TYPE_CHECKING:
    from collection.papers.sharing.shareable import Order


def schedule(order: Order) -> bytes:
    """The schedule as it stands today; private places are not named on it."""
    today = order.now.astimezone(order.by.collection.zone_info).date()
    known = replace(whereabouts(order.by), sees_private=False)
    every = schedules(order.by.collection, known, on=today, today=today)
    page = next(one for one in every if one.policy.subject_id == order.subject.pk)
    return make_schedule(page=page, by=order.by, now=order.now, once=order.once)

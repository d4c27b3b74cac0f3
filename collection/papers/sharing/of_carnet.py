"""What is handed out of a carnet: its list of goods."""

from __future__ import annotations

from typing import TYPE_CHECKING

from collection.custody.whereabouts import whereabouts
from collection.papers.borders.queries import borders
from collection.papers.borders.sheet import make_list

if TYPE_CHECKING:
    from collection.papers.sharing.shareable import Order


def goods_list(order: Order) -> bytes:
    """The list of goods as it stands or was issued."""
    today = order.now.astimezone(order.by.collection.zone_info).date()
    page = borders(order.subject.carnet.tour, whereabouts(order.by), today=today)
    return make_list(page=page, by=order.by, now=order.now, once=order.once)

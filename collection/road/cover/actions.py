"""Writing what somebody said on the telephone."""

from datetime import date, datetime

from django.db import transaction

from collection.road.actions.backups import add_quote
from collection.road.models import OutsideCandidate, RoadQuote, Show
from registry.access.models import Membership


@transaction.atomic
def note_call(
    *,
    by: Membership,
    held: OutsideCandidate,
    confirmed_on: date,
    price: str = "",
    show: Show | None = None,
    leaves_at: datetime | None = None,
    arrives_at: datetime | None = None,
    **told: str,
) -> RoadQuote | None:
    """What others hold is confirmed from a day; with times it is quoted for a show.

    `told`: basis, told_by, authorised_by.
    """
    held.confirmed_on, held.price = confirmed_on, price
    held.save(update_fields=["confirmed_on", "price"])
    if show is None or leaves_at is None or arrives_at is None:
        return None
    return add_quote(
        collection=held.collection, by=by, to=show.venue, outside=held, what="road",
        leaves_at=leaves_at, arrives_at=arrives_at, cost=price, **told,
    )  # fmt: skip

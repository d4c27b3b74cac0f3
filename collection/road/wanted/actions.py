"""Writing the wanted list."""

from datetime import date

from django.db import transaction

from collection.ledger.codes import following
from collection.road.models import Tour
from collection.road.wanted.models import Wanted
from registry.access.models import Collection, Membership


@transaction.atomic
def want(
    *,
    collection: Collection,
    by: Membership,
    what: str,
    why: str,
    since: date,
    how: str = Wanted.How.BUY,
    tour: Tour | None = None,
    code: str = "",
) -> Wanted:
    """Put something on the wanted list; what is open there already is not doubled."""
    rows = Wanted.objects.of(collection)
    same = rows.filter(what=what, closed_on__isnull=True).first()
    if same is not None:
        return same
    code = code or following("WANT", list(rows.values_list("code", flat=True)))
    return Wanted.objects.create(
        collection=collection, code=code, how=how, what=what, why=why, tour=tour, since=since,
        noted_by=by.code,
    )  # fmt: skip


@transaction.atomic
def close(*, wanted: Wanted, on: date, closed_by: str) -> Wanted:
    """Say what closed it; a line closed before keeps what it says."""
    if wanted.closed_on is None:
        wanted.closed_on, wanted.closed_by = on, closed_by
        wanted.save(update_fields=["closed_on", "closed_by"])
    return wanted

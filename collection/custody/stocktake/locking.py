"""The row of a stocktake as it is now, held until the act is over."""

from collection.custody.stocktake.models import Stocktake
from collection.ledger.errors import LedgerError


class CountShut(LedgerError):
    """What was asked of a stocktake does not go any more, or not yet; says why."""


def locked(stocktake: Stocktake) -> Stocktake:
    """The row as it is now, so that a press elsewhere is not overwritten."""
    rows = Stocktake.objects.of(stocktake.collection).select_for_update(of=("self",))
    return rows.select_related("place", "collection", "subject__state").get(pk=stocktake.pk)


def still_open(stocktake: Stocktake) -> Stocktake:
    """The row, if something can still be counted in it; raises CountShut."""
    row = locked(stocktake)
    if row.closed_at is not None:
        raise CountShut("The stocktake is closed; record what you saw on the piece itself.")
    if row.given_up_at is not None:
        raise CountShut("This count was given up; begin another one.")
    return row

"""What the page of a lot is given to show of its flow."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from collection.catalogue.told import Naming, in_names
from collection.stock.counting import gauge_counts
from collection.stock.flow.forms import AsOfForm
from collection.stock.flow.history import against_the_note, as_of, moments_of, picture
from collection.stock.models import Lot
from registry import clock

SHOWN = 12  # moments of the table; the book has them all, and any day can be asked for


def flow_page(lot: Lot, query: Mapping[str, Any], naming: Naming) -> dict[str, Any]:
    """The flow as of the day asked for, else as it stands, and every moment before it."""
    moments = moments_of(lot)
    today = clock.today(lot.collection.zone_info)
    asked = AsOfForm(query if query.get("at") else None, today=today)
    day = asked.cleaned_data["at"] if asked.is_bound and asked.is_valid() else None
    moment = as_of(moments, day)
    passed = moments[: moments.index(moment) + 1] if moment in moments else []
    newest = passed[::-1]
    return {
        "as_of": day,
        "as_of_form": asked,
        "moment": moment,
        "flow": picture(moment),
        "balance": moment.balance,
        "gauge": gauge_counts(moment.counts),
        "note": against_the_note(moment),
        "moments": [replace(one, said=in_names(one.said, naming)) for one in newest[:SHOWN]],
        "moments_left_out": max(0, len(passed) - SHOWN),
        "unbalanced": [one for one in moments if not one.balanced],
    }

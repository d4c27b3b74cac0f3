"""What the pages of ways and plans are given to show."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from collection.stock.asked import Refused
from collection.stock.forecast import UNCHOSEN, Prospect
from collection.stock.sheet import failures_said, gained_said
from collection.stock.ways.beside import as_given, side_by_side
from collection.stock.ways.forms import KeepForm, WayForm
from collection.stock.ways.models import ThriftPlan
from collection.stock.ways.since import Since
from collection.stock.ways.way import Way

WORDS = {
    "pull": "pull after", "burn_in": "burn in, hours", "rest": "rest", "fewer": "one fewer of",
    "buy": "buy", "price_minor": "price", "near": "near type", "shows": "shows a year",
    "reserve": "count the reserve",
}  # fmt: skip


def ways_page(
    prospect: Prospect,
    form: WayForm,
    plans: Iterable[ThriftPlan],
    names: Mapping[str, str],
    *,
    keep: KeepForm | None = None,
) -> dict[str, Any]:
    """The table of ways, the way asked for, and the plans kept so far."""
    context = {
        "prospect": prospect,
        "stock": prospect.stock,
        "type": prospect.stock.lead,
        "form": form,
        "keep": keep or KeepForm(),
        "plans": [(plan, names.get(plan.made_by, plan.made_by)) for plan in plans],
        "unchosen": prospect.pull == UNCHOSEN,
        "units": "sets" if prospect.stock.lead.set_size > 1 else f"{prospect.stock.lead.noun}s",
    }
    try:
        prospect.ask(pull=None if prospect.pull == UNCHOSEN else prospect.pull)
    except Refused as refused:
        if prospect.use.missing or not prospect.feeds:
            return context | {"refusals": refused.reasons}
    context["rows"] = side_by_side(prospect)
    if form.is_bound and form.is_valid() and form.way != Way():
        given = as_given(prospect, form.way)
        context |= {"given": given, "again": _again(form)}
        if given.put:
            context["told"] = (gained_said(given.put.gain), failures_said(given.put.gain))
    return context


def _again(form: WayForm) -> list[tuple[str, str]]:
    """What was asked, to be sent along when it is kept."""
    sent = form.data
    names = [name for name in form.fields if name in sent]
    many = getattr(sent, "getlist", lambda name: [sent[name]])
    return [(name, value) for name in names for value in many(name)]


def plan_page(
    plan: ThriftPlan,
    prospect: Prospect,
    *,
    now: datetime,
    received: int,
    names: Mapping[str, str],
) -> dict[str, Any]:
    """A plan then and now."""
    said = [
        (WORDS[name], ", ".join(value) if isinstance(value, list) else value)
        for name, value in plan.inputs.items()
        if name != "price_minor"
    ]
    return {
        "plan": plan,
        "type": prospect.stock.lead,
        "stock": prospect.stock,
        "made_by": names.get(plan.made_by, plan.made_by),
        "inputs": said,
        "price_minor": plan.inputs.get("price_minor"),
        "since": Since(plan, prospect, now, received),
    }

"""What would be if: the visitor's changes put to the forecast."""

from typing import Any

from collection.core.depletion import KEEP, Change, DepletionError
from collection.stock.asked import Refused, change
from collection.stock.forecast import UNCHOSEN, Prospect
from collection.stock.models import PartType
from collection.stock.sheet import Comparison, compare


def wonder(prospect: Prospect, given: dict[str, Any]) -> Comparison:
    """As things are beside what the visitor asks; raises Refused.

    `given`: shows, pull, fails, buy, rest, reserve, as the form cleans them. Where nobody has
    chosen when to pull yet, the pull asked for stands on both sides. Pieces that rest already
    go on resting.
    """
    asked_pull = None if given["fails"] else given["pull"]
    pulls_asked = given["fails"] or given["pull"] is not None
    start = prospect.pull if prospect.pull != UNCHOSEN or not pulls_asked else asked_pull
    if pulls_asked:
        prospect.ask(pull=asked_pull)  # refuses what the log cannot bear out at all
    now = prospect.ask(pull=start)
    what = Change(
        pull_at_hours=asked_pull if pulls_asked else KEEP,
        rest=_resting(prospect, given.get("rest") or []),
        shows_per_year=given["shows"],
    )
    try:
        stock = prospect.stocked(reserve=given["reserve"], bought=given["buy"] or 0)
    except DepletionError as error:
        raise Refused((str(error),)) from error
    then, gained = change(now, what, stock=stock)
    return compare(now, then, gained, prospect.today)


def _resting(prospect: Prospect, pieces: list[str]) -> tuple[int, ...]:
    return tuple(
        number for number, feed in enumerate(prospect.feeds) if feed.rests or feed.piece in pieces
    )


def may_rest(prospect: Prospect) -> list[tuple[str, str]]:
    """Pieces that use the type and could rest."""
    used = {feed.piece: f"{feed.piece} {feed.called}" for feed in prospect.feeds if not feed.rests}
    return list(used.items())


def units_bought(lead: PartType) -> str:
    """What a number to buy counts: 'sets of 2', 'tubes'."""
    return f"sets of {lead.set_size}" if lead.set_size > 1 else f"{lead.noun}s"

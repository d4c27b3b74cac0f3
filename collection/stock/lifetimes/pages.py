"""What the page of lives is given to show."""

from typing import Any

from collection.stock.forecast import UNCHOSEN, Prospect
from collection.stock.lifetimes.curves import groups
from collection.stock.lifetimes.forms import LivesFromForm
from collection.stock.lifetimes.groups import chosen, groups_of, named

LISTED = 200


def lives_page(prospect: Prospect, asked: str) -> dict[str, Any]:
    """Curves by maker, by lot or pooled, as asked or else as the forecast takes them."""
    by = asked if asked in LivesFromForm.CHOICES else chosen(prospect.stock)
    pull = prospect.pull if isinstance(prospect.pull, int | float) else None
    found = {named(key, by): own for key, own in groups_of(prospect.lives, by).items()}
    lives = sorted(prospect.lives, key=lambda life: (not life.died, -life.hours))
    return {
        "prospect": prospect,
        "stock": prospect.stock,
        "type": prospect.stock.lead,
        "by": by,
        "form": LivesFromForm(initial={"lives_from": by}),
        "stored": chosen(prospect.stock),
        "groups": groups(found, pull_at_hours=pull, unit=prospect.stock.lead.unit),
        "telling": prospect.telling,
        "lives": lives[:LISTED],
        "left_out": max(0, len(lives) - LISTED),
        "is_chosen": prospect.pull != UNCHOSEN,
        "noun": prospect.stock.lead.noun,
    }

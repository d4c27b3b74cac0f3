"""What of a report may leave the house: no sum of money, no private place, no hidden mark."""

import re
from dataclasses import replace

from collection.catalogue.queries import pieces
from collection.core.notice import Secrets
from collection.custody.whereabouts import whereabouts
from collection.desk.lined import Item, Lined
from collection.papers.dossier.private import Privacy
from registry.access.models import Membership

KEPT_BACK = "a line that stays in the book"
_MONEY = re.compile(r"[£€$]\s*\d|\d\s*[£€$]|\b[A-Z]{3}\s*\d|\d[\d.,]*\s*(?:[A-Z]{3}\b|[£€$])")


def outward(sheet: Lined, member: Membership) -> Lined:
    """The report for somebody outside, each line that tells too much replaced by a sentence."""
    privacy = _privacy(member)
    kept = sheet.outward
    return replace(
        kept,
        headings=tuple(
            replace(one, items=tuple(_kept(item, privacy) for item in one.items))
            for one in kept.headings
        ),
    )


def _kept(item: Item, privacy: Privacy) -> Item:
    told = f"{item.what} {item.more} {item.aside}"
    return Item(KEPT_BACK) if _MONEY.search(told) or privacy.leaks(told) else item


def _privacy(member: Membership) -> Privacy:
    known = whereabouts(member)
    hidden = tuple(place.name for place in known.rows.values() if known.private(place.pk))
    rows = pieces(member.collection).exclude(hidden_mark="")
    marks = tuple(rows.values_list("hidden_mark", flat=True))
    return Privacy(known, {}, Secrets(names=(), places=hidden, marks=marks))

"""A report as a letter, written once as long as it says the same."""

import hashlib
from datetime import datetime

from collection.custody.models import Party
from collection.desk.lined import Lined, as_words
from collection.desk.post.models import Letter
from collection.desk.reports.outward import outward
from collection.road.models import Show
from registry.access.models import Membership


def key_of(show: Show) -> str:
    """How every letter about the report of a show begins."""
    return f"report {show.pk} "


def send_report(
    *, show: Show, sheet: Lined, party: Party, by: Membership, now: datetime
) -> tuple[Letter, bool]:
    """The letter, and whether it is new; the next daily run sends it."""
    body = as_words(outward(sheet, by))
    digest = hashlib.sha256(body.encode()).hexdigest()[:12]
    return Letter.objects.get_or_create(
        collection=show.collection,
        party=party,
        key=f"{key_of(show)}{digest}",
        defaults={
            "address": party.email,
            "subject": f"{show.tour.name}: report of show {show.number}"[:120],
            "body": body,
            "made_at": now,
        },
    )

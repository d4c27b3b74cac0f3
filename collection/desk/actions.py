"""What a member does at the desk that is no entry of the book."""

from datetime import datetime

from django.db import transaction

from registry.access.models import Membership, ShareLink
from registry.access.sharing import revoke, share, shares_of


@transaction.atomic
def renew_calendar(*, by: Membership, now: datetime) -> tuple[ShareLink, str]:
    """A new calendar address of a member, with its token; the ones before open nothing more."""
    known = {"purpose": ShareLink.Purpose.CALENDAR, "code": by.code}
    for old in shares_of(by.collection, **known):
        revoke(old, now=now)
    return share(by.collection, **known, label=by.name, by=by, now=now)

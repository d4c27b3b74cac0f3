"""By when an insurer must hear of an incident."""

from datetime import datetime

from collection.core.chronology import exact_instant
from collection.core.insurance import by_when, notice_until
from collection.custody.incident import pieces_of, zone_of
from collection.custody.models import Incident
from collection.papers.insurance.models import Policy
from collection.papers.insurance.queries import covering


def known_at(incident: Incident) -> datetime:
    """When it was found gone, to the minute if that is known; else when it was written down."""
    zone = zone_of(incident)
    exact = exact_instant(incident.found_gone, zone) if incident.found_gone else None
    return (exact or incident.opened_at).astimezone(zone)


def notice_by(incident: Incident) -> tuple[Policy, datetime] | None:
    """The policy with the least time that covered a piece of it, and until when to tell it.

    None when nothing in it was insured, or no such policy names hours of notice.
    """
    known = known_at(incident)
    on = known.date()
    rows = covering(incident.collection, on).filter(
        piece__in=pieces_of(incident), policy__notice_hours__isnull=False,
        policy__begins_on__lte=on, policy__ends_on__gte=on,
    )  # fmt: skip
    found = {row.policy_id: row.policy for row in rows}
    if not found:
        return None
    policy = min(found.values(), key=lambda one: (one.notice_hours, one.code))
    return policy, notice_until(known, policy.notice_hours)


def notice_words(incident: Incident, *, now: datetime) -> str:
    """'Ring The insurer by 14:20 tomorrow: …'; '' where no policy asks for it."""
    found = notice_by(incident)
    if found is None:
        return ""
    policy, until = found
    reach = f", {policy.insurer.phone}" if policy.insurer.phone else ""
    number = f", policy {policy.number}" if policy.number else ""
    return (
        f"Ring {policy.insurer.name}{reach} {by_when(until, now.astimezone(until.tzinfo))}: "
        f"{policy.notice_hours} h of notice{number}."
    )

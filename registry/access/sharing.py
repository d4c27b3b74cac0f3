"""Share links: a secret address for one thing, for somebody without an account."""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Count, Max, Q, QuerySet

from registry.access.models import Collection, Membership, ShareLink, ShareUse
from registry.access.queries import hash_of

TOKEN_BYTES = 32
OPENINGS_AN_HOUR = 120
WRITINGS_AN_HOUR = 20
# At a truck door one link is in several hands, and every case is a tap.
DOORS_AN_HOUR = 600
# A calendar program asks every few minutes for years: only its last day is remembered.
CALENDAR_REMEMBERS = timedelta(days=1)


class TooOften(Exception):
    """A link was used more often in an hour than a person would."""


@dataclass(frozen=True)
class Guest:
    """Who writes by a link, in the place of a member; the space keeps it apart from any code."""

    code: str
    name: str


def share(
    collection: Collection,
    *,
    purpose: str,
    code: str,
    label: str,
    by: Membership,
    now: datetime,
    expires_at: datetime | None = None,
) -> tuple[ShareLink, str]:
    """Make a link and return it with its token, which is kept nowhere."""
    token = secrets.token_urlsafe(TOKEN_BYTES)
    link = ShareLink(
        collection=collection,
        purpose=purpose,
        code=code,
        label=label,
        token_hash=hash_of(token),
        made_by=by.code,
        made_at=now,
        expires_at=expires_at,
    )
    link.full_clean()
    link.save()
    return link, token


def revoke(link: ShareLink, *, now: datetime) -> ShareLink:
    """Let a link open nothing any more, from now on."""
    link.revoked_at = link.revoked_at or now
    link.save(update_fields=["revoked_at"])
    return link


def shared(token: str, *, purpose: str, now: datetime) -> ShareLink | None:
    """The link of this token while it opens something; None when revoked, run out or unknown."""
    standing = Q(expires_at__isnull=True) | Q(expires_at__gt=now)
    found = ShareLink.objects.filter(
        standing, token_hash=hash_of(token), purpose=purpose, revoked_at=None
    )
    return found.select_related("collection").first()


def use(link: ShareLink, *, now: datetime, wrote: bool = False) -> ShareUse:
    """Note one use of a link; raises TooOften instead when there were too many in this hour."""
    if link.purpose == ShareLink.Purpose.CALENDAR:
        ShareUse.objects.filter(link=link, at__lt=now - CALENDAR_REMEMBERS).delete()
    refuse_too_often(link, now=now, wrote=wrote)
    return ShareUse.objects.create(link=link, at=now, wrote=wrote)


def refuse_too_often(link: ShareLink, *, now: datetime, wrote: bool = False) -> None:
    """Raise TooOften when a link had its uses of this hour: asked before work that costs."""
    recent = ShareUse.objects.filter(link=link, at__gt=now - timedelta(hours=1))
    counts = recent.aggregate(all=Count("pk"), written=Count("pk", filter=Q(wrote=True)))
    most, had = (
        (WRITINGS_AN_HOUR, counts["written"]) if wrote else (OPENINGS_AN_HOUR, counts["all"])
    )
    if had >= (DOORS_AN_HOUR if link.purpose == ShareLink.Purpose.DOORS else most):
        raise TooOften(f"This link was used {had} times within an hour; try again later.")


def shares_of(collection: Collection, *, purpose: str, code: str = "") -> QuerySet[ShareLink]:
    """Links of a thing, or all of a purpose, the newest first, with how they were used."""
    found = ShareLink.objects.filter(collection=collection, purpose=purpose)
    if code:
        found = found.filter(code=code)
    return found.annotate(
        opened=Count("uses"),
        written=Count("uses", filter=Q(uses__wrote=True)),
        last_used_at=Max("uses__at"),
    ).order_by("-made_at")


def handed_out(collection: Collection) -> QuerySet[ShareLink]:
    """Every link that was handed to somebody outside, the newest first, with its use."""
    found = ShareLink.objects.filter(collection=collection).exclude(
        purpose=ShareLink.Purpose.CALENDAR
    )
    counted = found.annotate(opened=Count("uses"), last_used_at=Max("uses__at"))
    return counted.order_by("-made_at", "-pk")


def over_links(*, now: datetime) -> QuerySet[ShareLink]:
    """Links that open nothing at this moment."""
    return ShareLink.objects.filter(Q(revoked_at__isnull=False) | Q(expires_at__lte=now))


def maker_of(link: ShareLink) -> Membership | None:
    """The member who made a link, former ones too."""
    return Membership.objects.of(link.collection).filter(code=link.made_by).first()


def standing_member(link: ShareLink) -> Membership | None:
    """The member whose link it is, while they are a member."""
    return Membership.objects.of(link.collection).standing().filter(code=link.code).first()

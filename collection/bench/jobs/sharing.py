"""One link lets a repairer without an account write findings on one job."""

from datetime import datetime, timedelta

from collection.bench.jobs import actions, queries
from collection.bench.jobs.models import Job
from collection.catalogue.actions import add_photo
from collection.catalogue.models import Piece
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access import sharing
from registry.access.models import Membership, ShareLink

MOST_LINKS = 3  # standing at once for one job (house rule): each is a door


def share_job(
    *, job: Job, by: Membership, label: str, days: int, now: datetime
) -> tuple[ShareLink, str]:
    """A link to one job, with the token that is shown once."""
    links = sharing.shares_of(job.collection, purpose=ShareLink.Purpose.JOB, code=job.code)
    if links.filter(revoked_at=None, expires_at__gt=now).count() >= MOST_LINKS:
        raise LedgerError(f"{MOST_LINKS} links to this job are open; take one back first.")
    return sharing.share(
        job.collection,
        purpose=ShareLink.Purpose.JOB,
        code=job.code,
        label=label,
        by=by,
        now=now,
        expires_at=now + timedelta(days=days),
    )


def job_of(link: ShareLink) -> Job | None:
    """The job that a link opens."""
    return queries.jobs(link.collection).filter(code=link.code).first()


def guest_of(link: ShareLink) -> sharing.Guest:
    """Who writes by a link, as the book names them."""
    return sharing.Guest(code=f"guest of {link.code}"[:32], name=link.label)


def write_finding(
    *,
    link: ShareLink,
    job: Job,
    piece: Piece,
    finding: str,
    now: datetime,
    photo: bytes | None = None,
    once: str = "",
) -> Event:
    """A finding told by a link, with its photo; raises TooOften."""
    sharing.use(link, now=now, wrote=True)
    guest = guest_of(link)
    telling = Telling(
        happened=now.astimezone(link.collection.zone_info).date().isoformat(),
        source="told",
        source_note=f"by link, for {link.label}",
        once=f"guest-{once}" if once else None,
    )
    event = actions.diagnose(job=job, by=guest, piece=piece, finding=finding, telling=telling)
    if photo:
        add_photo(
            collection=link.collection,
            by=guest,
            subject=piece.subject,
            data=photo,
            entry=event.sequence,
        )
    return event

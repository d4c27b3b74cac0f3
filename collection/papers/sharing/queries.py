"""Reading links to papers: what one opens, all of them with their uses."""

from datetime import datetime

from django.db.models import Prefetch, QuerySet

from collection.ledger.models import Subject
from collection.papers.sharing.models import SharedPaper
from registry.access import sharing
from registry.access.models import Collection, ShareLink, ShareUse

USES_SHOWN = 20


def subjects(collection: Collection) -> QuerySet[Subject]:
    """Everything that has a code."""
    return Subject.objects.of(collection).select_related("collection")


def opened_by(token: str, *, now: datetime) -> SharedPaper | None:
    """What a token opens at this moment."""
    link = sharing.shared(token, purpose=ShareLink.Purpose.PAPER, now=now)
    if link is None:
        return None
    found = SharedPaper.objects.of(link.collection).filter(link=link)
    return found.select_related("subject__collection", "link__collection", "collection").first()


def links(collection: Collection, *, code: str = "") -> QuerySet[ShareLink]:
    """Links handed out, all or of one thing, newest first: what they open, their last uses."""
    uses = Prefetch("uses", ShareUse.objects.order_by("-at")[:USES_SHOWN], to_attr="last_uses")
    papers = Prefetch("shared_paper", SharedPaper.objects.of(collection).defer("file"))
    found = sharing.handed_out(collection).prefetch_related(papers, uses)
    return found.filter(shared_paper__subject__code=code) if code else found


def kept_for_nothing(*, now: datetime) -> QuerySet[SharedPaper]:
    """Papers still kept although their links open nothing."""
    over = sharing.over_links(now=now)
    return SharedPaper.objects.filter(link__in=over, byte_count__gt=0).exclude(file=b"")

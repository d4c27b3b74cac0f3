"""Making links to papers, taking them back, letting go of what they opened."""

import hashlib
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.db import transaction

from collection.ledger.models import Subject
from collection.ledger.presses import made_before, remember
from collection.papers.sharing import queries
from collection.papers.sharing.models import SharedPaper
from collection.papers.sharing.shareable import Order, Shareable
from registry.access import sharing
from registry.access.models import Membership, ShareLink


@dataclass(frozen=True)
class Terms:
    """For whom a link is, how many days it opens, which press made it."""

    label: str
    days: int
    once: str = ""


def hand_out(*, paper: Shareable, order: Order, days: int) -> tuple[ShareLink, str] | None:
    """Make a paper and a link to it, with the token that is shown once; None pressed twice."""
    terms = Terms(order.for_whom, days, order.once)
    if paper.make is None:
        pdf = b""
    else:
        pdf = paper.make(replace(order, once=f"{order.once}-paper"[:64] if order.once else ""))
    return keep(paper=paper, subject=order.subject, by=order.by, pdf=pdf, terms=terms,
                now=order.now, values=order.values or paper.values == "always")  # fmt: skip


@transaction.atomic
def keep(
    *, paper: Shareable, subject: Subject, by: Membership, pdf: bytes, terms: Terms, now: datetime,
    values: bool = False,
) -> tuple[ShareLink, str] | None:  # fmt: skip
    """A link to a paper that is made already; None when the same press made one before."""
    if made_before(by.collection, terms.once):
        return None
    link, token = sharing.share(
        by.collection, purpose=ShareLink.Purpose.PAPER, code=subject.code, label=terms.label,
        by=by, now=now, expires_at=now + timedelta(days=terms.days),
    )  # fmt: skip
    row = SharedPaper(
        link=link, collection=by.collection, subject=subject, paper=paper.name,
        title=f"{paper.title}, {subject.code}", values=values, file=pdf,
    )  # fmt: skip
    if paper.make is not None:
        row.name = f"{paper.name}-{subject.code}-{now:%Y-%m-%d}.pdf"
        row.sha256, row.byte_count = hashlib.sha256(pdf).hexdigest(), len(pdf)
    row.full_clean(exclude=["file"])
    row.save()
    remember(by.collection, terms.once, str(link.pk))
    return link, token


@transaction.atomic
def take_back(link: ShareLink, *, now: datetime) -> None:
    """Let a link open nothing any more, and let go of its paper."""
    sharing.revoke(link, now=now)
    SharedPaper.objects.of(link.collection).filter(link=link).update(file=b"")


def let_go(*, now: datetime) -> int:
    """Drop the bytes of papers whose links have run out; how many."""
    return queries.kept_for_nothing(now=now).update(file=b"")

"""The schedule of a policy as a paper for the broker."""

import hashlib
from datetime import datetime
from typing import Any

from collection.core.date_sentence import day_words
from collection.core.wording import money
from collection.ledger.proof import root_of
from collection.papers.insurance.models import Policy
from collection.papers.insurance.schedule import Line, Schedule
from collection.papers.made import record_paper
from collection.papers.models import PaperMade
from registry.access.models import Membership
from registry.typesetting import typeset


def make_schedule(*, page: Schedule, by: Membership, now: datetime, once: str = "") -> bytes:
    """The schedule as PDF; who made it and its hash are kept."""
    policy = page.policy
    title = f"Schedule of {policy.code}, {policy.collection.name}"
    pdf = typeset("insurance/schedule", _data(page), title=title, made_at=now)
    size, root = root_of(policy.collection)
    record_paper(
        PaperMade(
            collection=policy.collection, paper=PaperMade.Paper.SCHEDULE, subject=policy.subject,
            for_whom=policy.insurer.name, made_at=now, made_by=by.code,
            sha256=hashlib.sha256(pdf).hexdigest(), byte_count=len(pdf), book_size=size, root=root,
        ),
        once,
    )  # fmt: skip
    return pdf


def _data(page: Schedule) -> dict[str, Any]:
    policy = page.policy
    return {
        "code": policy.code,
        "collection": policy.collection.name,
        "insurer": policy.insurer.name,
        "as_of": day_words(page.on),
        "paper": [list(pair) for pair in _paper(policy)],
        "terms": [*policy.terms_in_words, *filter(None, [policy.other_terms])],
        "rows": [_row(line) for line in page.lines],
        "totals": [[currency, money(minor, currency)] for currency, minor in page.totals],
        "count": len(page.lines),
        "unvalued": page.unvalued,
        "loads": [_load(one, policy) for one in page.standings],
    }


def _paper(policy: Policy) -> list[tuple[str, str]]:
    def said(minor: int | None) -> str:
        return "" if minor is None else money(minor, policy.currency)

    return [
        ("Policy number", policy.number),
        ("From", day_words(policy.begins_on)),
        ("Until", day_words(policy.ends_on)),
        ("Territory", ", ".join(policy.territory) or "the whole world"),
        ("In one vehicle", said(policy.per_vehicle_minor)),
        ("In one place", said(policy.per_place_minor)),
        ("For one piece", said(policy.per_item_minor)),
        ("Excess", said(policy.excess_minor)),
        ("Notice", f"{policy.notice_hours} hours" if policy.notice_hours else ""),
    ]


def _row(line: Line) -> dict[str, str]:
    piece, value = line.piece, line.value
    return {
        "code": piece.code,
        "called": piece.called,
        "maker": str(piece.maker or ""),
        "serial": piece.serial,
        "owner": line.owner,
        "value": money(value.minor, value.currency) if value else "",
        "basis": value.basis if value else "",
        "valued": day_words(value.on) if value and value.on else "",
        "valuer": value.valuer if value else "",
        "old": "value older than 3 years" if value and value.old(line.today) else "",
    }


def _load(one: Any, policy: Policy) -> list[str]:
    limit = one.load.limit_minor
    said = [money(minor, currency) for currency, minor in sorted(one.load.sums.items())]
    over = one.load.over_minor
    return [
        one.where if not one.place_private else "a private place",
        str(len(one.load.items)),
        "; ".join(said),
        "" if limit is None else money(limit, policy.currency),
        f"over by {money(over, policy.currency)}" if over else "",
    ]

"""Which papers can be handed out by a link: a line of `SHAREABLE` each."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from collection.ledger.models import Subject
from collection.papers.sharing import of_carnet, of_incident, of_piece, of_policy
from registry.access.models import Membership


@dataclass(frozen=True)
class Order:
    """What is to be made: of what, by whom, when, for whom, and whether values stand on it."""

    subject: Subject
    by: Membership
    now: datetime
    for_whom: str
    values: bool = False
    once: str = ""


@dataclass(frozen=True)
class Shareable:
    """A paper that a link can open.

    `of`: kind of subject it is made of; `make`: its bytes as PDF, None for a page; it may raise
    HandingRefused;
    `values`: what it says of worth: 'never', 'chosen' or 'always'.
    """

    name: str
    title: str
    of: str
    hint: str
    make: Callable[[Order], bytes] | None
    values: str = "never"


SHAREABLE = (
    Shareable(
        "piece", "The piece", "piece", "a page with photos, as the register knows it each day",
        None, "chosen",
    ),
    Shareable(
        "object-id", "Object ID sheet", "piece", "for police, customs, a register of losses",
        of_piece.object_id,
    ),
    Shareable(
        "dossier", "Dossier", "piece", "its history with proofs; what is private stays out",
        of_piece.dossier, "chosen",
    ),
    Shareable(
        "goods-list", "List of goods", "carnet", "for customs and the chamber; values are on it",
        of_carnet.goods_list, "always",
    ),
    Shareable(
        "notice", "Notice", "incident", "for whoever may see it; one mark is held back",
        of_incident.notice,
    ),
    Shareable(
        "schedule", "Schedule", "policy", "for the insurer or broker; values are on it",
        of_policy.schedule, "always",
    ),
)  # fmt: skip


def shareable_of(kind: str) -> dict[str, Shareable]:
    """What can be handed out of a kind of subject, by name."""
    return {one.name: one for one in SHAREABLE if one.of == kind}

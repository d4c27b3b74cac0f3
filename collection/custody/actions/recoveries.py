"""Writing a recovery: what turned up, and the gates it passes before it plays again."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from django.core.exceptions import PermissionDenied

from collection.core import recovery
from collection.core.events.cleared import Cleared
from collection.core.events.recovered import Recovered
from collection.core.events.released import Released
from collection.core.events.title_settled import TitleSettled
from collection.core.state import State
from collection.custody.queries import behind_gate, standing
from collection.ledger.actions import as_told, open_book
from collection.ledger.errors import PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership


def recover(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    at: str,
    found_by: str = "",
    identity: Iterable[str] = (),
    mislaid: bool = False,
    telling: Telling | None = None,
) -> Event:
    """It turned up: into quarantine at `at`, until every gate is passed."""
    with open_book(collection, by) as book:
        theft = standing(collection, code, "stolen")
        facts = Recovered(
            incident=book.state(code).incident or "",
            at=at,
            found_by=found_by,
            identity=tuple(identity),
            mislaid=mislaid,
        )
        answers = theft.sequence if theft else None
        return book.append(facts, code, as_told(book, telling), answers=answers)


def release(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    telling: Telling | None = None,
    **facts: Any,
) -> Event:
    """Whoever held it as evidence gave it back; `facts` are those of `Released`."""
    return _behind_a_gate(collection, by, code, Released(**_in_order(facts)), telling)


def settle_title(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    telling: Telling | None = None,
    **facts: Any,
) -> Event:
    """The insurer's word on whose it is; `facts` are those of `TitleSettled`."""
    return _behind_a_gate(collection, by, code, TitleSettled(**_in_order(facts)), telling)


def _in_order(facts: dict[str, Any]) -> dict[str, Any]:
    return {k: tuple(v) if isinstance(v, list | tuple) else v for k, v in facts.items()}


def _behind_a_gate(
    collection: Collection,
    by: Membership,
    code: str,
    facts: Released | TitleSettled,
    telling: Telling | None,
) -> Event:
    with open_book(collection, by) as book:
        back = standing(collection, code, "recovered")
        named = replace(facts, incident=facts.incident or book.state(code).incident or "")
        answers = back.sequence if back else None
        return book.append(named, code, as_told(book, telling), answers=answers)


def clear_gate(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    gate: str,
    answer: str,
    because: str = "",
    evidence: Iterable[str] = (),
    papers: Iterable[str] = (),
    telling: Telling | None = None,
) -> Event:
    """A keeper passes one gate, or says why it does not apply; the last one frees the piece.

    `papers`: SHA-256 of what is filed for it; left out, those of the release or of the answer on
    title that the gate rests on.
    """
    if not by.keeps:
        raise PermissionDenied("Only a keeper of the collection passes the gates of a recovery.")
    with open_book(collection, by) as book:
        back = standing(collection, code, "recovered")
        behind = behind_gate(collection, code, gate) if answer == "answered" else None
        facts = Cleared(
            gate=gate,
            answer=answer,
            because=because,
            evidence=tuple(evidence),
            papers=tuple(papers) or tuple(behind.facts["papers"] if behind else ()),
            rests_on=behind.sequence if behind else 0,
        )
        _refuse(facts, behind, book.state(code))
        answers = back.sequence if back else None
        return book.append(facts, code, as_told(book, telling), answers=answers)


def _refuse(facts: Cleared, behind: Event | None, state: State) -> None:
    """Every reason at once: those of the kind, and what must stand in the book first."""
    outcome = None if behind is None else str(behind.facts.get("outcome", ""))
    wants = recovery.unsupported(facts.gate, outcome) if facts.answer == "answered" else ""
    reasons = (*((wants,) if wants else ()), *facts.problems({"subject": state}))
    if reasons:
        raise PlanRefused(reasons)

"""Presses on a fault: it is back, nobody could find it, it is proven, after how many shows."""

from collection.bench import actions as bench
from collection.bench.models import Fault
from collection.core.fault_way import may_be_proven
from collection.ledger.actions import open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Membership


def again(*, fault: Fault, by: Membership, once: str = "", words: str = "") -> Fault:
    """It did it again: the same fault is open once more, as intermittent as it was settled."""
    with open_book(fault.collection, by) as book:
        before = book.state(fault.code).condition
        return bench.fault(
            collection=fault.collection,
            by=by,
            code=fault.piece.code,
            fault=fault,
            intermittent=before != "open",
            telling=_now(fault, once, words),
        )


def not_reproduced(*, fault: Fault, by: Membership, once: str = "", words: str = "") -> Event:
    """Nobody could make it show itself; it stays open."""
    return _settle(fault, by, "not-reproduced", once, words)


def prove(*, fault: Fault, by: Membership, once: str = "", words: str = "") -> Event:
    """Enough shows went by without it; raises LedgerError before that."""
    with open_book(fault.collection, by) as book:
        state = book.state(fault.code)
        if book.sent_before(once or None) is None and not may_be_proven(
            state.condition, state.clean_shows, fault.proven_after_shows
        ):
            raise LedgerError(
                f"{fault.code} is {state.condition.replace('-', ' ')}, "
                f"{state.clean_shows} of {fault.proven_after_shows} shows without it."
            )
        return _settle(fault, by, "proven", once, words)


def prove_after(*, fault: Fault, shows: int) -> Fault:
    """After how many clean shows this fault counts as proven; a house rule, not in the book."""
    fault.proven_after_shows = shows
    fault.save(update_fields=["proven_after_shows"])
    return fault


def _settle(fault: Fault, by: Membership, outcome: str, once: str, words: str) -> Event:
    return bench.settle_fault(
        collection=fault.collection,
        by=by,
        fault=fault,
        outcome=outcome,
        telling=_now(fault, once, words),
    )


def _now(fault: Fault, once: str, words: str) -> Telling:
    today = clock.today(fault.collection.zone_info)
    return Telling(happened=today.isoformat(), words=words, once=once or None)

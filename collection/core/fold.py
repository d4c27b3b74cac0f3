"""The fold: one thing's state from the effective entries that name it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import tzinfo

from collection.core.entry import Placed
from collection.core.events import facts_of
from collection.core.events.kind import Moment
from collection.core.state import State

SUBJECT = "subject"


def roles(placed: Placed, code: str) -> tuple[str, ...]:
    """The roles in which an entry names a code; 'subject' first."""
    entry = placed.entry
    named = tuple(role for role, other in entry.names.items() if other == code)
    return ((SUBJECT,) if entry.subject == code else ()) + named


def apply(state: State, placed: Placed, code: str, zone: tzinfo) -> State:
    """The state of `code` after one entry; total, never raises for stored facts."""
    facts = facts_of(placed.entry.kind, placed.entry.facts, placed.entry.facts_version)
    moment = Moment(placed=placed, day=placed.day(zone))
    changed = state
    for role in roles(placed, code):
        changed = facts.after(role, changed, moment)
    return changed if changed is state else changed.now(last=placed.entry.number)


def fold(ordered: Iterable[Placed], code: str, zone: tzinfo) -> State:
    """The state of `code` after entries already in order of happening."""
    state = State()
    for placed in ordered:
        state = apply(state, placed, code, zone)
    return state

"""A stay at a repairer: how far it has come, and the orders that go with a piece."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from collection.core.state import State

# In the order in which they are usual; a job may skip any of them but the first and the last.
STAGES: Final[dict[str, str]] = {
    "sent": "sent",
    "booked-in": "booked in",
    "diagnosed": "diagnosed",
    "quoted": "quoted",
    "approved": "approved",
    "done": "work done",
    "back": "back",
}
ORDERS: Final[dict[str, str]] = {
    "no-original-replaced": "Replace no original part without a call.",
    "return-removed": "Return everything that is removed, labelled.",
    "ring-first": "Ring before anything beyond the complaint.",
    "photos": "Photograph before and after.",
    "clean-nothing": "Clean nothing that shows: wear is evidence.",
    "mains-first": "Mains check before power.",
}
AWAY: Final = "away"  # how many pieces of a job are at the repairer, among the state's counts


def reached(state: State, stage: str) -> State:
    """The job's state once it has come to a stage; it never falls back behind one it passed.

    >>> reached(State(condition="quoted"), "diagnosed").condition
    'quoted'
    """
    order = list(STAGES)
    known = order.index(state.condition) if state.condition in STAGES else -1
    return state.now(condition=stage) if order.index(stage) > known else state


def named_pieces(pieces: Iterable[str]) -> dict[str, str]:
    """Role to code, for the pieces that an entry about a job names.

    >>> named_pieces(["A-007", "A-008"])
    {'piece-1': 'A-007', 'piece-2': 'A-008'}
    """
    return {f"piece-{n}": code for n, code in enumerate(pieces, start=1)}


def sent_one(state: State) -> State:
    """One more piece of the job is away."""
    return reached(state, "sent").shifted({AWAY: 1})


def one_back(state: State) -> State:
    """One piece came back; with the last one the job is back."""
    state = state.shifted({AWAY: -1})
    return state if state.count(AWAY) > 0 else reached(state, "back")

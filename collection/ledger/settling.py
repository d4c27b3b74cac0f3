"""Rows that follow the book, written anew after each act; told by the capabilities above.

Where a case hangs in the tree of places or whether a piece is off its loan stands in a row beside
the book. An entry that is corrected, taken back or told late changes it as well, and the ledger
knows neither cases nor loans: `collection/apps.py` hands in the functions that do.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from collection.core.state import State
from collection.ledger.models import Subject


@dataclass(frozen=True)
class Change:
    """A subject of which the book says something else after an act than before it."""

    subject: Subject
    before: State
    after: State


Told = Callable[[Sequence[Change]], None]
_sources: list[Told] = []


def told_by(*sources: Told) -> None:
    """Name who writes such rows; the newest word stands."""
    _sources[:] = sources


def settle(changes: Sequence[Change]) -> None:
    """Let every row follow; inside the transaction of the act."""
    for source in _sources:
        source(changes)

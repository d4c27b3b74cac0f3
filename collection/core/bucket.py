"""Buckets of a lot: where its units are, and the rule that none is ever created or lost.

Buckets: 'sealed', 'tested:<grade>', 'fitted', 'pulled:<grade>', 'kept-out', 'dead', 'lost',
'unexplained'. House rule: received = the sum of all buckets, always. What the book cannot
account for stands in 'unexplained': above zero when units are missing, below when more were
seen than the book knows of.
"""

from __future__ import annotations

from collection.core.state import State

UNEXPLAINED = "unexplained"


def bucket_of(grade: str) -> str:
    """The bucket that units of a grade are issued from; a whole bucket name stays as it is.

    >>> [bucket_of(grade) for grade in ("sealed", "", "V1", "pulled:show")]
    ['sealed', 'sealed', 'tested:V1', 'pulled:show']
    """
    if grade in {"", "sealed"}:
        return "sealed"
    return grade if ":" in grade else f"tested:{grade}"


def in_words(bucket: str) -> str:
    """A bucket as people say it.

    >>> in_words("pulled:show"), in_words("kept-out"), in_words("tested:V1-quiet")
    ('pulled, show', 'kept out', 'tested, V1-quiet')
    """
    family, colon, grade = bucket.partition(":")
    return family.replace("-", " ") + (f", {grade}" if colon else "")


def transfer(state: State, *, units: int, source: str, target: str) -> State:
    """The lot after units went from one bucket to another; what the source lacks is unexplained."""
    held = max(0, state.count(source))
    taken = min(units, held)
    state = state.shifted({source: -taken})
    state = state.shifted({UNEXPLAINED: taken - units})
    return state.shifted({target: units})


def short(state: State, *, units: int, source: str, done: str) -> tuple[str, ...]:
    """The contradiction when a bucket holds fewer units than were taken from it."""
    held = max(0, state.count(source))
    if units <= held:
        return ()
    return (f"The book has {held} in {in_words(source)}, yet {units} were {done}.",)


def total(state: State) -> int:
    """Units in all buckets together; equals what was received."""
    return sum(units for _, units in state.counts)

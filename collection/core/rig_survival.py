"""How many failures at once the rig of one show survives.

Model: a position that fails takes one spare that could stand in for it, and each spare can
stand in once. Any `k` positions may fail together and be backed up exactly when every set of
up to `k` positions has, between them, at least as many spares as it has positions.
Source: P. Hall (1935), On representatives of subsets, Journal of the London Mathematical
Society s1-10, 26-30. Every set is looked at, smallest first.
Limits: a rig of up to 16 positions; a spare that fails in its turn is not reckoned with.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

MOST_POSITIONS = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Survival:
    """`any_of`: so many positions may fail together, whichever they are.

    `short`: the fewest positions that may not fail together, () when all may; `spares`: what
    those have between them.
    """

    any_of: int
    short: tuple[str, ...]
    spares: tuple[str, ...]


def survival(usable: Mapping[str, frozenset[str]]) -> Survival:
    """Survival of a rig from the spares that could stand in for each position.

    >>> survival({"2": frozenset({"A-018"}), "3": frozenset({"A-018"})})
    Survival(any_of=1, short=('2', '3'), spares=('A-018',))

    Raises ValueError for more than 16 positions: there are 2^n sets to look at.
    """
    if len(usable) > MOST_POSITIONS:
        raise ValueError(f"{len(usable)} positions; at most {MOST_POSITIONS} can be reckoned with.")
    for size in range(1, len(usable) + 1):
        for names in combinations(usable, size):
            between = frozenset().union(*(usable[name] for name in names))
            if len(between) < size:
                return Survival(any_of=size - 1, short=names, spares=tuple(sorted(between)))
    return Survival(any_of=len(usable), short=(), spares=())

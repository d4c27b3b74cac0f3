"""Which loose tubes belong together: pairs and sets of four within a tolerance.

Two things are matched, plate current at the test point and transconductance (gm). The spread of a
set in one of them is (max − min) / max; a set holds when both spreads are within their tolerances.
Only readings taken on the same tester at the same volts may be compared: the caller groups them.

Pairs are optimal for any number of tubes: as many as there can be, and among those the least sum of
spreads. That is a maximum-weight matching of most edges in the graph of tubes that may be paired
(networkx). Sets of four are a heuristic, since four at a time is set packing, for which no quick
exact method is known: the better of pairing the best pairs, and taking the closest four again and
again. So they are never fewer or wider than pairing the pairs.

Readings count as typed (33.3 is 333 tenths) and sums run in whole 10⁻¹² of a spread, so that a
tolerance met exactly is met, and more pairs always beat closer ones.

Source: Edmonds (1965), Paths, trees, and flowers, Canadian Journal of Mathematics 17, 449–467;
Galil (1986), Efficient algorithms for finding maximum matching in graphs, Computing Surveys 18(1).
That current and gm are both matched is common practice, as are the tolerances; no standard.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from typing import Final

Reading = tuple[str, float, float]

SIZES: Final = (2, 4)
_UNIT: Final = 10**12  # a spread of 1
_Set = tuple[str, ...]


@dataclass(frozen=True)
class Matching:
    """Sets of codes, closest first, and who found no mates.

    `spread` has one number a set, in the order of `sets`: spread of current plus spread of gm,
    fractions of the larger reading, so 0 to 2.
    """

    sets: tuple[_Set, ...]
    left_over: tuple[str, ...]
    spread: tuple[float, ...]

    @property
    def total_spread(self) -> float:
        """Sum over all sets: what is least among matchings of so many sets."""
        return math.fsum(self.spread)


class Tolerated:
    """What may stand together, in whole numbers: `spread` of codes, None beyond a tolerance."""

    def __init__(self, scales: Sequence[tuple[Mapping[str, int], Fraction]]) -> None:
        self._scales = scales

    def spread(self, codes: Iterable[str]) -> int | None:
        """Spread of current plus spread of gm in 10⁻¹², or None where one is out of tolerance."""
        total, members = 0, tuple(codes)
        for values, tolerance in self._scales:
            read = [values[code] for code in members]
            most = max(read)
            apart = most - min(read)
            if apart * tolerance.denominator > tolerance.numerator * most:
                return None
            total += apart * _UNIT // most
        return total


def match(
    readings: Iterable[Reading], *, size: int, current_tolerance: float, gm_tolerance: float
) -> Matching:
    """Sort tubes into pairs or sets of four.

    Args:
        readings: (code, current in mA, gm in µmho), all taken under the same conditions.
        size: 2 or 4 tubes a set.
        current_tolerance: greatest (max − min) / max of current within a set, 0 to below 1.
        gm_tolerance: the same for gm.

    Raises:
        ValueError: another size, a tolerance that is no such fraction, a code twice, or a reading
            that is not a positive number (a tube without current is not for matching).

    60 tubes take some 50 ms, 200 several seconds.

    >>> match([("T1", 40, 9000), ("T2", 30, 9000), ("T3", 38, 9000)], size=2,
    ...       current_tolerance=0.1, gm_tolerance=0.1).sets
    (('T1', 'T3'),)
    """
    if size not in SIZES:
        raise ValueError(f"Tubes are matched in sets of 2 or 4, not of {size!r}.")
    read = _checked(readings)
    codes = sorted(read)
    tolerated = Tolerated(
        (
            (_whole({code: read[code][0] for code in codes}), _tolerance(current_tolerance)),
            (_whole({code: read[code][1] for code in codes}), _tolerance(gm_tolerance)),
        )
    )
    pairs = _joined([(code,) for code in codes], tolerated)
    return _matching(pairs if size == 2 else _fours(codes, pairs, tolerated), codes, tolerated)


def _checked(readings: Iterable[Reading]) -> dict[str, tuple[Fraction, Fraction]]:
    read: dict[str, tuple[Fraction, Fraction]] = {}
    for code, current_ma, gm_umho in readings:
        if code in read:
            raise ValueError(f"{code} is read twice; keep one reading a tube.")
        read[code] = (_positive(code, current_ma, "mA"), _positive(code, gm_umho, "µmho"))
    return read


def _positive(code: str, value: float, unit: str) -> Fraction:
    try:
        exact = Fraction(str(value))
    except ValueError:
        exact = Fraction(0)
    if exact <= 0:
        raise ValueError(f"{code} reads {value} {unit}; only a positive reading can be matched.")
    return exact


def _tolerance(value: float) -> Fraction:
    if not 0 <= value < 1:
        raise ValueError(f"A tolerance is a fraction from 0 to below 1, such as 0.1, not {value}.")
    return Fraction(str(value))


def _whole(values: Mapping[str, Fraction]) -> dict[str, int]:
    """The same values in a unit so small that all are whole."""
    unit = math.lcm(*(value.denominator for value in values.values()))
    return {code: int(value * unit) for code, value in values.items()}


def _joined(groups: Sequence[_Set], tolerated: Tolerated) -> list[_Set]:
    """Join groups two by two: most joined, then least spread in sum."""
    import networkx  # takes longer to load than most matchings take

    graph = networkx.Graph()
    for one, other in combinations(sorted(groups), 2):
        spread = tolerated.spread(one + other)
        if spread is not None:
            graph.add_edge(one, other, weight=-spread)
    joined = networkx.max_weight_matching(graph, maxcardinality=True)
    return [tuple(sorted(one + other)) for one, other in joined]


def _fours(codes: Sequence[str], pairs: Sequence[_Set], tolerated: Tolerated) -> list[_Set]:
    """The better of two ways: more sets, then less spread."""
    ways = (_joined(pairs, tolerated), _closest_fours(codes, tolerated))
    return min(ways, key=lambda sets: (-len(sets), sum(_spread(tolerated, s) for s in sets)))


def _closest_fours(codes: Sequence[str], tolerated: Tolerated) -> list[_Set]:
    """Of the fours grown from each tube, take the closest that is still free, again and again."""
    free = set(codes)
    sets: list[_Set] = []
    while grown := [four for code in sorted(free) if (four := _grown(code, free, tolerated))]:
        grown.sort(key=lambda four: (_spread(tolerated, four), four))
        for four in grown:
            if free.issuperset(four):
                free.difference_update(four)
                sets.append(four)
    return sets


def _grown(code: str, free: set[str], tolerated: Tolerated) -> _Set | None:
    """A four from one tube, each time with the mate that widens it least; None if it ends early."""
    four: _Set = (code,)
    while len(four) < 4:
        mates = [
            (spread, mate)
            for mate in free.difference(four)
            if (spread := tolerated.spread((*four, mate))) is not None
        ]
        if not mates:
            return None
        four = (*four, min(mates)[1])
    return tuple(sorted(four))


def _spread(tolerated: Tolerated, codes: _Set) -> int:
    spread = tolerated.spread(codes)
    assert spread is not None, "only sets within the tolerances are made"
    return spread


def _matching(sets: Iterable[_Set], codes: Sequence[str], tolerated: Tolerated) -> Matching:
    ranked = sorted((_spread(tolerated, members), members) for members in sets)
    taken = {code for _, members in ranked for code in members}
    return Matching(
        sets=tuple(members for _, members in ranked),
        left_over=tuple(code for code in codes if code not in taken),
        spread=tuple(spread / _UNIT for spread, _ in ranked),
    )

"""Other ways to pair tubes, to hold ours against: every pairing tried, and plain greed."""

import random
from fractions import Fraction
from itertools import combinations


def tubes(count, *, seed):
    """Readings as a batch of output tubes shows them: (code, mA, µmho), spread of a tenth."""
    draw = random.Random(seed)
    return [
        (f"T{n:03d}", round(draw.gauss(48, 5), 1), round(draw.gauss(11300, 900), -2))
        for n in range(count)
    ]


def apart(readings, tolerance):
    """Spread of current plus spread of gm, exact; None beyond the tolerance."""
    total = Fraction(0)
    for column in (1, 2):
        values = [Fraction(str(reading[column])) for reading in readings]
        spread = (max(values) - min(values)) / max(values)
        if spread > Fraction(str(tolerance)):
            return None
        total += spread
    return total


def brute(readings, tolerance):
    """Most pairs, then least spread, by trying every pairing: (pairs, spread)."""
    pairs, total = _tried(tuple(readings), tolerance)
    return -pairs, float(total)


def _tried(readings, tolerance):
    if len(readings) < 2:
        return (0, Fraction(0))
    first, *rest = readings
    options = [_tried(tuple(rest), tolerance)]
    for place, mate in enumerate(rest):
        spread = apart((first, mate), tolerance)
        if spread is not None:
            pairs, total = _tried((*rest[:place], *rest[place + 1 :]), tolerance)
            options.append((pairs - 1, total + spread))
    return min(options)


def greedy(readings, tolerance):
    """The closest pair still free, again and again: (pairs, spread)."""
    close = []
    for one, other in combinations(readings, 2):
        spread = apart((one, other), tolerance)
        if spread is not None:
            close.append((spread, one[0], other[0]))
    taken, spreads = set(), []
    for spread, one, other in sorted(close):
        if not taken & {one, other}:
            taken |= {one, other}
            spreads.append(spread)
    return len(spreads), float(sum(spreads))

"""Readings that look wrong when they are typed: a point slipped, or far from what is usual.

Nothing is refused: a doubt is asked about, and what was read stays when a person says so.

Source: house rules; that a point slips by a power of ten is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

FAR: Final = Decimal("2.5")
NEAR: Final = Decimal("1.5")
TIMES: Final[Mapping[int, str]] = {
    1: "ten times", 2: "a hundred times", 3: "a thousand times", 6: "a million times",
    -1: "a tenth of", -2: "a hundredth of", -3: "a thousandth of",
}  # fmt: skip
MOST_RUN: Final = Decimal(500)  # hours between two readings of a meter: a long year of shows
LEAST_SHARE, MOST_SHARE = Decimal("0.05"), Decimal("1.5")  # of the current at the plate limit


@dataclass(frozen=True)
class Doubt:
    """What looks wrong, and what was perhaps meant."""

    words: str
    instead: Decimal | None = None


def odd(
    value: Decimal, *, like: Decimal | None, unit: str, what: str, far: Decimal = FAR
) -> Doubt | None:
    """A doubt about a value more than `far` times or less than 1/`far` of what it is like.

    `what` says in words what `like` is. A value that is near after its point is moved brings that
    with it.

    >>> odd(Decimal(375), like=Decimal(38), unit="mA", what="V4").instead
    Decimal('37.5')
    """
    if like is None or like <= 0 or value < 0 or _within(value, like, far):
        return None
    for places, words in TIMES.items():
        moved = value.scaleb(-places)
        if _within(moved, like, min(NEAR, far)):
            return Doubt(f"{value:f} {unit} is {words} {what}", plain(moved))
    return Doubt(f"{value:f} {unit} is far from {what}, {plain(like):f} {unit}")


def odd_currents(
    read: Mapping[str, Decimal],
    *,
    last: Mapping[str, Decimal],
    at_limit: Mapping[str, Decimal],
) -> dict[str, Doubt]:
    """Doubts by position about currents in mA of tubes that work together.

    Args:
        read: what was typed.
        last: the reading before, where there is one.
        at_limit: the current at which the plate would work at its limit.

    A current is suspect when it is far from its last and beyond 5 to 150 % of the current at the
    limit; of mates far apart, when neither is suspect, the larger one is.
    """
    suspects = {one for one, value in read.items() if _suspect(one, value, last, at_limit)}
    if not suspects and len(read) > 1:
        largest = max(read, key=lambda one: read[one])
        if not _within(read[largest], min(read.values()), FAR) and largest not in last:
            suspects = {largest}
    found = {one: _about(one, read, suspects, last, at_limit) for one in sorted(suspects)}
    return {one: doubt for one, doubt in found.items() if doubt is not None}


def odd_meter(value: Decimal, *, last: Decimal | None) -> Doubt | None:
    """A doubt about an hour meter, in hours, that went back or ran more than `MOST_RUN` at once.

    A value that would follow the last one after its point is moved brings that with it.

    >>> odd_meter(Decimal(12040), last=Decimal(1200)).instead
    Decimal('1204')
    """
    if last is None or last <= value <= last + MOST_RUN:
        return None
    moved = (plain(value.scaleb(-places)) for places in (1, 2, -1, -2))
    instead = next((one for one in moved if last <= one <= last + MOST_RUN), None)
    return Doubt(f"The last was {plain(last):,f} h, this says {plain(value):,f} h", instead)


def plain(value: Decimal) -> Decimal:
    """Without noughts at the end, never with an exponent."""
    return Decimal(f"{value.normalize():f}")


def _within(value: Decimal, like: Decimal, far: Decimal) -> bool:
    return like / far <= value <= like * far


def _suspect(
    position: str,
    value: Decimal,
    last: Mapping[str, Decimal],
    at_limit: Mapping[str, Decimal],
) -> bool:
    if position in last and last[position] > 0:
        return not _within(value, last[position], FAR)
    most = at_limit.get(position)
    return most is not None and not (LEAST_SHARE * most <= value <= MOST_SHARE * most)


def _about(
    position: str,
    read: Mapping[str, Decimal],
    suspects: set[str],
    last: Mapping[str, Decimal],
    at_limit: Mapping[str, Decimal],
) -> Doubt | None:
    value = read[position]
    mates = [one for one in read if one not in suspects]
    if mates and (found := odd(value, like=read[mates[0]], unit="mA", what=mates[0])):
        return found
    if position in last:
        return odd(value, like=last[position], unit="mA", what="its last reading")
    if position not in at_limit:
        return None
    usual = at_limit[position] * Decimal("0.6")
    what = "60 % of the limit"
    return odd(value, like=plain(usual.quantize(Decimal("0.1"))), unit="mA", what=what)

"""From what was read at a socket to its idle dissipation, and which readings may be compared.

A current read at the cathode holds the screen's part: measured, or estimated as a published share.
Tubes on one cathode resistor are taken to share its current alike, so two of them halve it. Plate
volts count from the cathode. Across a one-ohm resistor the millivolts are divided by its resistance
as measured.

Two readings tell of the tube only if they were taken alike: same method, mains volts within
`LIKE_MAINS` of each other, warm at least `WARM_MINUTES`. Nothing is corrected for other mains
volts: how a plate current follows the mains depends on the circuit.

Source: `core.dissipation`; that mains volts move every reading: note on the 230 V +10/−6 % supply
by world-designs.co.uk. `LIKE_MAINS` and `WARM_MINUTES` are house rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from collection.core.dissipation import Idle, ScreenShare, idle, screen_shares
from collection.core.events.measured import METHODS, Measured, SocketRead
from collection.core.tube_limits import known, spelled

LIKE_MAINS = Decimal("0.02")
WARM_MINUTES = 15


@dataclass(frozen=True)
class Limit:
    """Greatest plate dissipation in W, the rating system and the sheet it stands in."""

    watts: float
    rating_system: str = ""
    sheet: str = ""


@dataclass(frozen=True)
class Figure:
    """One socket: the current of its tube in mA, volts, and its dissipation when it can be had.

    `share`: the screen's part of a cathode current, None for a plate current; `share_measured`
    says whether it was measured. `missing`: what was not read or is not known, in words.
    """

    read: SocketRead
    current_ma: float | None
    at_cathode: bool
    shared_by: int
    share: float | None
    share_measured: bool
    limit: Limit | None
    idle: Idle | None
    missing: tuple[str, ...] = ()

    @property
    def position(self) -> str:
        """The socket's name."""
        return self.read.position

    @property
    def type(self) -> str:
        """The tube's type."""
        return self.read.type

    @property
    def estimated(self) -> bool:
        """Whether the dissipation rests on a published screen share."""
        return self.at_cathode and not self.share_measured

    @property
    def share_disagrees(self) -> bool:
        """Whether the published share it rests on lies outside what data sheet points give."""
        found = _share_of(self.type) if self.estimated else None
        return found is not None and found.disagrees

    @property
    def share_percent(self) -> float | None:
        """The screen's share in percent."""
        return None if self.share is None else 100 * self.share


def figures(said: Measured, limits: Mapping[str, Limit]) -> tuple[Figure, ...]:
    """Every socket of a reading; `limits` by type, the published one stands in where it lacks."""
    return tuple(_figure(read, said, limits.get(read.type)) for read in said.reads)


def published_limit(name: str) -> Limit | None:
    """The lowest limit published under this very name, else under the name it is known by."""
    found = known(name)
    if found is None or not found.limits:
        return None
    own = [one for one in found.limits if one.type == spelled(name)]
    known_by = [one for one in found.limits if one.type == found.type]
    least = min(own or known_by, key=lambda one: one.plate_watts)
    return Limit(least.plate_watts, least.rating_system, least.sheet)


def published_share(name: str) -> float | None:
    """The published screen share of a type at idle, a fraction."""
    found = _share_of(name)
    return found.published if found else None


def _share_of(name: str) -> ScreenShare | None:
    found = known(name)
    called = found.type if found else name
    return next((one for one in screen_shares() if called in (one.type, *one.also)), None)


def number(text: str) -> float | None:
    """A decimal of the book; None where nobody read it or it is none."""
    try:
        value = Decimal(text)
    except InvalidOperation:
        return None
    return float(value) if value.is_finite() else None


def current_ma(read: SocketRead, said: Measured) -> float | None:
    """The current of one tube in mA, from its own reading or its part of a shared resistor."""
    shown, ohms = number(read.ma), number(read.resistor_ohms)
    if shown is not None:
        return shown / ohms if said.method == "resistor" and said.shared_by == 1 and ohms else shown
    volts = number(read.cathode_volts)
    if said.method != "resistor" or volts is None or not ohms:
        return None
    return 1000 * volts / ohms / said.shared_by


def unlike(one: Measured, other: Measured) -> tuple[str, ...]:
    """Why a reading may not be compared with another, in words about `one`; empty when it may."""
    found = []
    if one.method != other.method:
        found.append(f"read {METHODS.get(one.method, one.method)}")
    mains, others = number(one.mains_volts), number(other.mains_volts)
    if mains is None or others is None:
        found.append("mains volts not written")
    elif abs(mains - others) > float(LIKE_MAINS) * others:
        found.append(f"mains {one.mains_volts} V")
    if one.minutes_warm is None or one.minutes_warm < WARM_MINUTES:
        warm = one.minutes_warm
        found.append("minutes warm not written" if warm is None else f"only {warm} min warm")
    return tuple(found)


def _figure(read: SocketRead, said: Measured, limit: Limit | None) -> Figure:
    current = current_ma(read, said)
    limit = limit or published_limit(read.type)
    share, measured = _share(read, said, current)
    missing = _missing(read, current, limit)
    return Figure(
        read=read,
        current_ma=current,
        at_cathode=said.at_cathode,
        shared_by=said.shared_by,
        share=share,
        share_measured=measured,
        limit=limit,
        idle=None if missing else _idle(read, said, current or 0.0, limit, share),
        missing=missing,
    )


def _share(read: SocketRead, said: Measured, current: float | None) -> tuple[float | None, bool]:
    if not said.at_cathode:
        return None, False
    screen = number(read.screen_ma)
    if screen is not None and current and screen < current:
        return screen / current, True
    return published_share(read.type), False


def _missing(read: SocketRead, current: float | None, limit: Limit | None) -> tuple[str, ...]:
    found = []
    if current is None:
        found.append("no current was read")
    if number(read.plate_volts) is None:
        found.append("no plate volts were read")
    if limit is None or limit.watts <= 0:
        found.append(f"no limit of {read.type or 'the tube'} is known")
    return tuple(found)


def _idle(
    read: SocketRead, said: Measured, current: float, limit: Limit | None, share: float | None
) -> Idle | None:
    assert limit is not None
    at = "cathode_ma" if said.at_cathode else "plate_ma"
    try:
        return idle(
            plate_volts=number(read.plate_volts) or 0.0,
            limit_watts=limit.watts,
            cathode_volts=number(read.cathode_volts) or 0.0,
            screen_share=share,
            **{at: current},
        )
    except ValueError:
        return None  # such as a cathode above its plate: written down all the same

"""How hard an output tube works at idle: plate dissipation and its share of the limit.

Model: watts = (plate volts − cathode volts) × plate current, both volts measured to ground at idle.
A reading at the cathode (a one-ohm resistor, a socket probe) is plate plus screen current; the
screen's part is measured, or estimated as a share of the cathode current. Published shares and data
sheet points disagree (`screen_shares`), so a figure from the cathode is an estimate, and the
uncorrected figure stands beside it as the upper bound. Shares hold at idle only: driven, the screen
draws many times as much. Two tubes on one cathode resistor: halve the current first.

At a data sheet's class A points the plate sits at its limit, so 100 % is no error there. Targets of
60 to 70 % for push-pull with fixed bias are common practice, not a standard.

Lethal voltages: measuring them is for people trained for it, after local code.

Source: the product of volts and amperes; plate to cathode and not to ground after R. Robinette's
notes on bias; a cathode reading holds the screen current, measured at jt30.com in 1997.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

COMMON_TARGETS = (0.60, 0.70)


@dataclass(frozen=True)
class Idle:
    """Dissipation at idle.

    `watts` and `percent` (of the limit) are the best figure, `uncorrected_percent` takes the whole
    current for plate current. `estimated` is True where the current was read at the cathode.
    """

    watts: float
    percent: float
    uncorrected_percent: float
    estimated: bool

    @property
    def over_limit(self) -> bool:
        """More than the data sheet allows, even with the screen's part taken off."""
        return self.percent > 100


def idle(
    *,
    plate_volts: float,
    limit_watts: float,
    cathode_volts: float = 0.0,
    plate_ma: float | None = None,
    cathode_ma: float | None = None,
    screen_share: float | None = None,
) -> Idle:
    """Plate dissipation of one tube at idle.

    Args:
        plate_volts: plate to ground, V.
        limit_watts: greatest plate dissipation of the type, W.
        cathode_volts: cathode to ground, V; 0 with a grounded cathode.
        plate_ma: plate current, mA; this or `cathode_ma`, never both.
        cathode_ma: cathode current, mA, screen current in it.
        screen_share: the screen's part of `cathode_ma`, 0 to below 1; without it the whole counts.
            It says nothing about a plate current and is not used with one.

    Raises:
        ValueError: no current or two, a negative or endless number, a limit of nothing, a cathode
            above the plate, a share outside [0, 1).

    >>> idle(plate_volts=400, plate_ma=25, limit_watts=14).watts
    10.0
    """
    if (plate_ma is None) == (cathode_ma is None):
        raise ValueError("Give one current, at the plate or at the cathode, not both.")
    current_ma = cathode_ma if plate_ma is None else plate_ma
    assert current_ma is not None
    share = 0.0 if cathode_ma is None or screen_share is None else screen_share
    _check_share(screen_share)
    volts = _plate_to_cathode(plate_volts, cathode_volts)
    _check("limit, W", limit_watts)
    _check("current, mA", current_ma)
    if limit_watts == 0:
        raise ValueError("A limit of 0 W leaves nothing to compare with.")
    uncorrected = volts * current_ma / 1000
    watts = volts * current_ma * (1 - share) / 1000
    return Idle(
        watts=watts,
        percent=100 * watts / limit_watts,
        uncorrected_percent=100 * uncorrected / limit_watts,
        estimated=cathode_ma is not None,
    )


def target_ma(
    *, plate_volts: float, limit_watts: float, share_of_limit: float, cathode_volts: float = 0.0
) -> float:
    """Plate current in mA at which the plate works at a share of its limit (0.7 is 70 %).

    Raises:
        ValueError: as `idle`; also without any volts between plate and cathode.
    """
    volts = _plate_to_cathode(plate_volts, cathode_volts)
    _check("limit, W", limit_watts)
    _check("share of the limit", share_of_limit)
    if volts == 0:
        raise ValueError("There are no volts between plate and cathode.")
    return 1000 * share_of_limit * limit_watts / volts


@dataclass(frozen=True)
class SheetPoint:
    """An operating point that a data sheet prints: plate and screen current in mA."""

    plate_ma: float
    screen_ma: float
    sheet: str

    @property
    def share(self) -> float:
        """The screen's part of the cathode current."""
        return self.screen_ma / (self.plate_ma + self.screen_ma)


@dataclass(frozen=True)
class ScreenShare:
    """What is published as the screen's share at idle, and what data sheet points give.

    `also`: further types that the published figure is for.
    """

    type: str
    published: float
    source: str
    points: tuple[SheetPoint, ...]
    also: tuple[str, ...] = ()

    @property
    def disagrees(self) -> bool:
        """The published figure lies a tenth or more outside what the sheets' points give."""
        shares = [point.share for point in self.points]
        return not 0.9 * min(shares) < self.published < 1.1 * max(shares)


def screen_shares() -> tuple[ScreenShare, ...]:
    """Screen shares of common output tubes; they disagree for the EL84, the 6V6GT and the 6550.

    Source: published shares from the notes to an open bias meter design; points as named, the data
    sheets read in transcriptions or from memory, to be confirmed.
    """
    return _SHARES


def _check(what: str, value: float) -> None:
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"The {what}, cannot be {value}.")


def _check_share(share: float | None) -> None:
    if share is not None and not 0 <= share < 1:
        raise ValueError(
            f"A screen share is a fraction from 0 to below 1, such as 0.05; not {share}."
        )


def _plate_to_cathode(plate_volts: float, cathode_volts: float) -> float:
    _check("plate, V", plate_volts)
    _check("cathode, V", cathode_volts)
    if cathode_volts > plate_volts:
        raise ValueError(f"The cathode ({cathode_volts} V) lies above the plate ({plate_volts} V).")
    return plate_volts - cathode_volts


_METER = "notes to an open bias meter design"
_SHARES = (
    ScreenShare(
        "EL34", 0.13, _METER, (SheetPoint(100, 14.9, "Philips EL34, 250 V / 250 V / −13.5 V"),)
    ),
    ScreenShare(
        "6550",
        0.06,
        _METER,
        (SheetPoint(140, 12, "GE 6550A, 250 V / 250 V / −14 V"),),
        also=("KT88",),
    ),
    ScreenShare(
        "6L6GC",
        0.055,
        _METER,
        (
            SheetPoint(54, 2.5, "GE 6L6GC, 350 V / 250 V / −18 V"),
            SheetPoint(72, 5, "RCA 6L6GC, 250 V / 250 V / −14 V, from memory"),
        ),
    ),
    ScreenShare(
        "EL84", 0.05, _METER, (SheetPoint(48, 5.5, "Philips EL84, 250 V / 250 V / −7.3 V"),)
    ),
    ScreenShare(
        "6V6GT",
        0.045,
        _METER,
        (
            SheetPoint(45, 4.5, "RCA 6V6GT, 250 V / 250 V / −12.5 V"),
            SheetPoint(34, 2.2, "RCA 6V6GT, 315 V / 225 V / −13 V, from memory"),
        ),
        also=("6V6GTA",),
    ),
)

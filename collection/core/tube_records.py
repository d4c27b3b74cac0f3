"""The shape of what is known of a tube type: limits with sheets, heaters, base, equivalents."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

RatingSystem = Literal["design-centre", "design-maximum", "absolute", "not stated"]
Standing = Literal["to be confirmed", "from memory"]
Does = Literal["twin triode", "pentode", "output tube", "rectifier"]
Base = Literal["noval", "octal"]


@dataclass(frozen=True)
class PlateLimit:
    """Greatest dissipation of one plate, as one sheet rates it for the printed `type`.

    A number means nothing without its rating system: design-centre leaves room for the mains to
    vary, design-maximum must not be passed by an average tube under the worst conditions likely.
    `standing` says how far to trust it: read in a transcription of the sheet named and to be
    confirmed there, or from memory.
    """

    type: str
    plate_watts: float
    rating_system: RatingSystem
    sheet: str
    standing: Standing = "to be confirmed"
    note: str = ""


@dataclass(frozen=True)
class Heater:
    """One way to feed a heater."""

    volts: float
    amps: float
    standing: Standing = "to be confirmed"


@dataclass(frozen=True)
class TubeType:
    """What is known of a type.

    `limits` keeps every published figure side by side, the one for the type's own name first; a
    rectifier has none, but `dc_ma`. `pins` names the pin-out: equal means that a socket wired for
    one serves the other. `same_as` may take its place without remark, `near` with the difference
    named, `never` fit the socket and must not be put there, with the reason.
    """

    type: str
    does: Does
    base: Base
    pins: str
    heaters: tuple[Heater, ...]
    limits: tuple[PlateLimit, ...] = ()
    same_as: tuple[str, ...] = ()
    near: Mapping[str, str] = field(default_factory=dict)
    never: Mapping[str, str] = field(default_factory=dict)
    dc_ma: int | None = None
    other_limits: str = ""

    @property
    def plate_watts(self) -> float | None:
        """The lowest published limit of the type's own name, W; None for a rectifier."""
        own = [limit.plate_watts for limit in self.limits if limit.type == self.type]
        return min(own, default=None)

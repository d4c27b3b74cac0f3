"""The planning figures of a journey, each with what it rests on."""

from dataclasses import dataclass, field, fields
from typing import Any

from collection.core.driving import EUROPE, UNITED_STATES, DrivingHours

_HOUSE = "house rule"
_CARRIER = "an air cargo carrier's general terms: 2 to 4 h unitised, 3 to 6 h loose"
_LADDER = "house rule, from how long a change takes side of stage"


def _figure(default: float, basis: str) -> Any:
    return field(default=default, metadata={"basis": basis})


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Planning figures, editable per collection; `basis(name)` says what a default rests on.

    Lengths of time in the unit of the name, distances in km, speeds in km/h, shares of 1.
    A journey up to `local_km` (as the crow flies) is local: it is packed, warmed and checked
    quickly. Beyond, gear travels as freight and may arrive cold.
    Raises ValueError for a figure below nothing, or a speed or a detour that cannot be.
    """

    patched_seconds: float = _figure(10, _LADDER)
    side_minutes: float = _figure(3, _LADDER)
    truck_minutes: float = _figure(20, _LADDER)
    local_km: float = _figure(30, _HOUSE)
    local_pack_minutes: float = _figure(20, _HOUSE)
    pack_minutes: float = _figure(60, "common practice, no source")
    detour: float = _figure(1.3, "common practice, no source: road over crow's flight")
    road_km_per_hour: float = _figure(70, "house rule, below the 80 km/h planned for a van")
    driving_hours: DrivingHours = field(
        default=EUROPE, metadata={"basis": "Regulation (EC) No 561/2006, Articles 6 to 8"}
    )
    driving_hours_us: DrivingHours = field(
        default=UNITED_STATES, metadata={"basis": "49 CFR 395.3"}
    )
    road_limit_km: float = _figure(1500, _HOUSE)
    airport_km: float = _figure(80, _HOUSE)
    hand_in_hours: float = _figure(4, _CARRIER)
    hand_out_hours: float = _figure(4, _CARRIER)
    flight_km_per_hour: float = _figure(750, _HOUSE)
    flight_fixed_minutes: float = _figure(30, _HOUSE)
    sea_limit_km: float = _figure(500, _HOUSE)
    sea_check_in_minutes: float = _figure(60, _HOUSE)
    sea_hours: float = _figure(8, "house rule: crossing and the wait for it")
    border_minutes: float = _figure(90, "house rule; customs keeps its own hours")
    warm_up_minutes: float = _figure(10, _HOUSE)
    acclimatise_minutes: float = _figure(
        60, "house rule; sources differ from 10 minutes to overnight"
    )
    check_minutes: float = _figure(5, _HOUSE)
    freight_check_minutes: float = _figure(30, "common practice, no source")
    powered_days: int = _figure(30, "house rule: powered proves least")
    played_hot_days: int = _figure(90, "house rule: many faults show only hot")
    bench_checked_days: int = _figure(180, "house rule: a full check with bias")
    volts_below: float = _figure(0.06, "supply tolerance in Great Britain, 230 V -6 %")
    volts_above: float = _figure(0.10, "supply tolerance in Great Britain, 230 V +10 %")
    show_hours: float = _figure(4, "house rule: how long a show holds its spares")

    def __post_init__(self) -> None:
        for each in fields(self):
            value = getattr(self, each.name)
            if not isinstance(value, DrivingHours) and not value >= 0:
                raise ValueError(f"{each.name} is {value!r}; it must be 0 or more.")
        for name in ("road_km_per_hour", "flight_km_per_hour"):
            if not getattr(self, name) > 0:
                raise ValueError(f"{name} must be more than 0, or nothing ever arrives.")
        if self.detour < 1:
            raise ValueError(f"detour is {self.detour}; no road is shorter than the crow's way.")

    @staticmethod
    def basis(name: str) -> str:
        """What the default of a figure rests on. Raises KeyError for an unknown name."""
        return str({each.name: each.metadata["basis"] for each in fields(Rules)}[name])

    def law(self, country: str) -> DrivingHours:
        """The driving hours of the country a drive begins in."""
        return self.driving_hours_us if country == "US" else self.driving_hours

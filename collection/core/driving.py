"""How long a drive takes one driver who keeps to the law.

Model: one rested driver, breaks taken as late as allowed, the ordinary daily limit, never
the extended one. The first day starts with the drive.
Sources: Europe and Great Britain, Regulation (EC) No 561/2006, Article 6 (9 h a day),
Article 7 (45 min after 4.5 h), Article 8 (11 h of daily rest). United States, 49 CFR 395.3
(11 h after 10 h off duty, 30 min after 8 h; the 14 h window is not reached by 11 h of
driving and one break).
Limits: weekly limits (56 h, 90 h in two weeks) are not counted; no drive planned here comes
near them. Vans below the weight the law covers are planned alike: a house rule, since a
tired driver is as dangerous in a van. Information, not legal advice.
"""

from dataclasses import dataclass
from datetime import timedelta
from math import ceil


@dataclass(frozen=True, slots=True, kw_only=True)
class DrivingHours:
    """Breaks and rest a driver must keep; all lengths in hours."""

    drive_before_break: float
    break_length: float
    drive_per_day: float
    daily_rest: float
    source: str

    def __post_init__(self) -> None:
        if not 0 < self.drive_before_break <= self.drive_per_day <= 24:
            raise ValueError("Driving before a break must be more than 0 and at most a day's.")
        if self.break_length < 0 or self.daily_rest < 0:
            raise ValueError("A break or a rest cannot be shorter than nothing.")


EUROPE = DrivingHours(
    drive_before_break=4.5,
    break_length=0.75,
    drive_per_day=9,
    daily_rest=11,
    source="Regulation (EC) No 561/2006",
)
UNITED_STATES = DrivingHours(
    drive_before_break=8, break_length=0.5, drive_per_day=11, daily_rest=10, source="49 CFR 395.3"
)


@dataclass(frozen=True, slots=True)
class Drive:
    """A drive with what the law adds to it."""

    wheel: timedelta
    breaks: timedelta
    rest: timedelta

    @property
    def length(self) -> timedelta:
        """From the first turn of the key to the last."""
        return self.wheel + self.breaks + self.rest


def drive(hours: float, law: DrivingHours) -> Drive:
    """Lay out `hours` (0 or more) at the wheel over as many days as the law asks.

    >>> drive(10, EUROPE).length == timedelta(hours=10 + 0.75 + 11)
    True
    """
    if hours < 0:
        raise ValueError(f"A drive of {hours} hours cannot be.")
    nights = _stops(hours, law.drive_per_day)
    last_day = hours - nights * law.drive_per_day
    breaks = nights * _stops(law.drive_per_day, law.drive_before_break)
    breaks += _stops(last_day, law.drive_before_break)
    return Drive(
        wheel=timedelta(hours=hours),
        breaks=timedelta(hours=breaks * law.break_length),
        rest=timedelta(hours=nights * law.daily_rest),
    )


def _stops(hours: float, stretch: float) -> int:
    """How many stops a drive needs when no stretch may be longer than `stretch`."""
    # A drive of exactly one stretch ends where the stop would begin; a second is forgiven.
    return max(0, ceil(hours / stretch - 1 / 3600) - 1)

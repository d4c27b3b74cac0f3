"""Which planned tour a stock may not reach."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from collection.stock.asked import YEARS, Asked
from collection.stock.bookings import Booking, years_until_played
from collection.stock.use import DAYS_A_YEAR

SAFE = 0.9  # house rule: below nine chances in ten a tour is endangered


@dataclass(frozen=True)
class TourChance:
    """The chance that every position can be fed to the last show of a tour."""

    booking: Booking
    chance: float

    @property
    def endangered(self) -> bool:
        """Whether it is below nine in ten."""
        return self.chance < SAFE

    @property
    def said(self) -> str:
        """The chance in 100."""
        many = 100 * self.chance
        return "over 99" if many > 99 else "under 1" if many < 1 else f"{many:.0f}"


def tour_chances(asked: Asked, bookings: Sequence[Booking], today: date) -> tuple[TourChance, ...]:
    """The chance to get through each planned tour, as the question stands."""
    found = []
    for one in bookings:
        if asked.usage.booked_hours:
            years = years_until_played(one.last_on, bookings, today)
        else:  # on the clock that counts days
            years = ((one.last_on - today).days + 1) / DAYS_A_YEAR
        if years <= YEARS:
            found.append(TourChance(one, 1 - asked.figures.chance_by(years)))
    return tuple(found)

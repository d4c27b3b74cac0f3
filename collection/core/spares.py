"""What a forecast of spares starts from: stock, sockets and use.

Plain records that refuse what makes no sense, with a sentence for the page. Hours are hours
on, of whichever clock (heater or high tension) the pull age counts.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

_HOURS_IN_A_YEAR = 8784.0
_HOURS_IN_A_MONTH = 744.0
_MOST_HOURS = 1e6  # 114 years without a pause


class DepletionError(ValueError):
    """A forecast that cannot be made, and why."""


@dataclass(frozen=True)
class Stock:
    """Spares on the shelf.

    Args:
        units: spares, counted in sets where ``set_size`` is above 1.
        set_size: parts in a matched set, which ends with its first failure.
        passes_test: share of units expected to pass the test before fitting, in (0, 1]; of
            sets where sets are counted.
        shelf_loss_per_year: rate at which shelved units go bad, >= 0; a share
            ``1 - exp(-rate)`` is lost in a year.
        bulk_losses_per_year: how many floods, thefts and falls a year, >= 0.
        bulk_loss_share: chance of each unit to be lost in one of them, 0 to 1.

    Raises:
        DepletionError: a value is outside its range.
    """

    units: int
    set_size: int = 1
    passes_test: float = 1.0
    shelf_loss_per_year: float = 0.0
    bulk_losses_per_year: float = 0.0
    bulk_loss_share: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "units", _whole(self.units, "The stock", 0))
        object.__setattr__(self, "set_size", _whole(self.set_size, "The size of a set", 1))
        if not 0 < self.passes_test <= 1:
            raise DepletionError(
                f"The share that passes its test is above 0 and at most 1, not {self.passes_test}."
            )
        _not_negative(self.shelf_loss_per_year, "Shelf loss per year")
        _not_negative(self.bulk_losses_per_year, "The number of bulk losses a year")
        if not 0 <= self.bulk_loss_share <= 1:
            raise DepletionError(
                f"The share lost in a bulk loss is 0 to 1, not {self.bulk_loss_share}."
            )

    @property
    def loses(self) -> bool:
        """True when units are lost by the calendar."""
        return self.shelf_loss_per_year > 0 or (
            self.bulk_losses_per_year > 0 and self.bulk_loss_share > 0
        )


@dataclass(frozen=True)
class Socket:
    """One position: age and pull age in its own hours (``inf``: until it fails), its share."""

    hours_on: float
    pull_at_hours: float
    share: float


@dataclass(frozen=True)
class Sockets:
    """The positions that eat spares, one entry per position (per set position).

    Args:
        hours_on: hours on what is fitted now, 0 to a million.
        pull_at_hours: pull age in hours for all, or one entry per position; None: run until
            it fails. An age beyond the pull age counts as a demand now.
        share_of_use: part of the shows that each position plays, 0 to 1; empty: all of them.
            Its clock runs that much slower; 0 rests it.

    Raises:
        DepletionError: a value is outside its range, lengths differ, or nothing is in use.
    """

    hours_on: tuple[float, ...]
    pull_at_hours: float | tuple[float | None, ...] | None
    share_of_use: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "hours_on", tuple(self.hours_on))
        object.__setattr__(self, "share_of_use", tuple(self.share_of_use))
        if isinstance(self.pull_at_hours, list):
            object.__setattr__(self, "pull_at_hours", tuple(self.pull_at_hours))
        if not self.hours_on:
            raise DepletionError("No position uses this part, so nothing can run out.")
        for age in self.hours_on:
            if not 0 <= age <= _MOST_HOURS:
                raise DepletionError(f"The hours on a part are 0 to a million, not {age}.")
        for pull in self._pulls():
            if pull is not None and not 0 < pull < math.inf:
                raise DepletionError(f"A pull age is above zero hours, not {pull}.")
        if not all(0 <= share <= 1 for share in self._shares()):
            raise DepletionError("A share of use is 0 to 1.")
        self._refuse_gaps()

    def _refuse_gaps(self) -> None:
        count = len(self.hours_on)
        if len(self._pulls()) != count:
            raise DepletionError(f"There are {count} positions but {len(self._pulls())} pull ages.")
        if len(self._shares()) != count:
            raise DepletionError(
                f"There are {count} positions but {len(self._shares())} shares of use."
            )
        if not any(self._shares()):
            raise DepletionError("Every position rests, so nothing can run out.")

    def _pulls(self) -> Sequence[float | None]:
        if isinstance(self.pull_at_hours, tuple):
            return self.pull_at_hours
        return (self.pull_at_hours,) * len(self.hours_on)

    def _shares(self) -> Sequence[float]:
        return self.share_of_use or (1.0,) * len(self.hours_on)

    def in_use(self) -> tuple[Socket, ...]:
        """The positions that are not at rest."""
        rows = zip(self.hours_on, self._pulls(), self._shares(), strict=True)
        return tuple(
            Socket(float(age), math.inf if pull is None else float(pull), float(share))
            for age, pull, share in rows
            if share > 0
        )


@dataclass(frozen=True)
class Usage:
    """How much is played.

    Args:
        shows_per_year: mean number of shows; 0 only where months are booked.
        hours_per_show: hours on in a show, at most 24.
        yearly_size: r of a negative binomial number of shows, each year anew, with mean m
            and variance m + m^2 / r.
        level_shape: r of a Gamma law of mean m from which the yearly level is drawn once,
            before Poisson years; never together with ``yearly_size``.
        booked_hours: hours on per month from now, used before the law takes over at the end
            of the last booked month.

    Raises:
        DepletionError: a value is outside its range, or nothing is played at all.
    """

    shows_per_year: float
    hours_per_show: float
    yearly_size: float | None = None
    level_shape: float | None = None
    booked_hours: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "booked_hours", tuple(self.booked_hours))
        if self.shows_per_year is None and not self.booked_hours:
            raise DepletionError("No use has been logged and nothing is booked.")
        _not_negative(self.shows_per_year, "The number of shows a year")
        if not 0 < self.hours_per_show <= 24:
            raise DepletionError(
                f"A show has more than 0 and at most 24 hours on, not {self.hours_per_show}."
            )
        if self.hours_per_year > _HOURS_IN_A_YEAR:
            raise DepletionError(f"{self.hours_per_year:g} hours on a year do not fit into a year.")
        self._refuse_spread()
        self._refuse_bookings()

    def _refuse_spread(self) -> None:
        if self.yearly_size is not None and self.level_shape is not None:
            raise DepletionError("Shows vary from year to year or by an unknown level, not both.")
        for shape in (self.yearly_size, self.level_shape):
            if shape is not None and not 0 < shape < math.inf:
                raise DepletionError(f"The spread of shows needs a size above zero, not {shape}.")

    def _refuse_bookings(self) -> None:
        for hours in self.booked_hours:
            if not 0 <= hours <= _HOURS_IN_A_MONTH:
                raise DepletionError(f"{hours:g} hours on do not fit into a month.")
        if self.shows_per_year == 0 and not sum(self.booked_hours):
            raise DepletionError("Nothing is played and nothing is booked: nothing can run out.")

    @property
    def hours_per_year(self) -> float:
        """Mean hours on a year after the booked months."""
        return self.shows_per_year * self.hours_per_show

    @property
    def is_fixed(self) -> bool:
        """True when every year has exactly the same shows."""
        return self.yearly_size is None and self.level_shape is None


def _whole(number: float, what: str, least: int) -> int:
    if not (math.isfinite(number) and number == int(number) and number >= least):
        raise DepletionError(f"{what} is a whole number from {least} up, not {number}.")
    return int(number)


def _not_negative(value: float, what: str) -> None:
    if value is None or not 0 <= value < math.inf:
        raise DepletionError(f"{what} cannot be {value}.")

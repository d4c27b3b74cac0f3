"""The same question answered by an event program, written apart from the core.

Nothing is shared with ``collection.core`` but the records that hold the question. A process
per position plays, waits, draws a spare, tests it, fits it; a process of calendar losses
empties the shelf; the calendar says when so many hours will have been on. Random numbers come
from the standard library.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass, field

import simpy

from collection.core.depletion import Sockets, Stock, Usage
from collection.core.life import Life


@dataclass
class Spare:
    """One unit on the shelf; what it is worth is found out when somebody reaches for it."""

    passes: bool
    spoilt_at: float
    lost: bool = False

    def usable(self, now: float) -> bool:
        return self.passes and not self.lost and now < self.spoilt_at


@dataclass
class Future:
    """How one future went."""

    depleted_at: float = float("inf")
    left_by_year: list[int] = field(default_factory=list)


def futures(
    stock: Stock, sockets: Sockets, life: Life, usage: Usage, *, count: int, years: int, seed: int
) -> list[Future]:
    """Play ``count`` futures, one after the other."""
    chance = random.Random(seed)
    return [_play(stock, sockets, life, usage, years, chance) for _ in range(count)]


def chance_by(played: list[Future], years: float) -> float:
    """Share of futures that were depleted within so many years."""
    return sum(future.depleted_at <= years * (1 + 1e-9) for future in played) / len(played)


def _play(
    stock: Stock, sockets: Sockets, life: Life, usage: Usage, years: int, chance: random.Random
) -> Future:
    world, future = simpy.Environment(), Future()
    rate = stock.shelf_loss_per_year
    shelf = [
        Spare(
            passes=chance.random() < stock.passes_test,
            spoilt_at=chance.expovariate(rate) if rate else float("inf"),
        )
        for _ in range(stock.units)
    ]
    calendar = _Calendar(usage, years, chance)
    over = world.event()
    pulls = sockets.pull_at_hours
    for place, age in enumerate(sockets.hours_on):
        pull = pulls[place] if isinstance(pulls, tuple) else pulls
        share = sockets.share_of_use[place] if sockets.share_of_use else 1.0
        if share:
            seat = _Seat(age, pull, share, stock.set_size)
            world.process(_feed(world, seat, life, shelf, calendar, over, chance))
    if stock.bulk_losses_per_year:
        world.process(_lose(world, stock, shelf, chance))
    world.process(_count(world, shelf, future, over, years))
    world.run(until=years * (1 + 1e-9))
    if over.triggered:
        future.depleted_at = over.value
    return future


@dataclass
class _Seat:
    age: float
    pull: float | None
    share: float
    set_size: int


def _feed(
    world: simpy.Environment,
    seat: _Seat,
    life: Life,
    shelf: list[Spare],
    calendar: "_Calendar",
    over: simpy.Event,
    chance: random.Random,
) -> Iterator[simpy.Event]:
    age = seat.age
    while True:
        lasts = min(_life_beyond(life, age, chance) for _ in range(seat.set_size))
        if seat.pull is not None:
            lasts = max(min(lasts, seat.pull), age)
        wait = calendar.wait(world.now, (lasts - age) / seat.share)
        if wait is None:
            return
        yield world.timeout(wait)
        while shelf and not shelf[-1].usable(world.now):
            shelf.pop()
        if not shelf:
            if not over.triggered:
                over.succeed(world.now)
            return
        shelf.pop()
        age = 0.0


def _life_beyond(life: Life, age: float, chance: random.Random) -> float:
    """A life of at least ``age`` hours, by trying until one is long enough."""
    while True:
        hours = chance.weibullvariate(life.scale_hours, life.shape)
        if life.random_per_hour:
            hours = min(hours, chance.expovariate(life.random_per_hour))
        if chance.random() < life.early_share:
            hours = min(hours, chance.expovariate(1.0 / life.early_hours))
        if hours >= age:
            return hours


def _lose(
    world: simpy.Environment, stock: Stock, shelf: list[Spare], chance: random.Random
) -> Iterator[simpy.Event]:
    while True:
        yield world.timeout(chance.expovariate(stock.bulk_losses_per_year))
        for spare in shelf:
            spare.lost = spare.lost or chance.random() < stock.bulk_loss_share


def _count(
    world: simpy.Environment, shelf: list[Spare], future: Future, over: simpy.Event, years: int
) -> Iterator[simpy.Event]:
    for year in range(years + 1):
        yield world.timeout(max(year + 1e-10 - world.now, 0.0))
        left = 0 if over.triggered else sum(spare.usable(world.now) for spare in shelf)
        future.left_by_year.append(left)


class _Calendar:
    """When the hours of one future are on: stretches of even play, one after the other."""

    def __init__(self, usage: Usage, years: int, chance: random.Random) -> None:
        self._stretches: list[tuple[float, float, float]] = []
        start = 0.0
        for hours in usage.booked_hours:
            self._stretches.append((start, start + 1 / 12, hours * 12))
            start += 1 / 12
        level = None
        if usage.level_shape is not None:
            shape = usage.level_shape
            level = chance.gammavariate(shape, usage.shows_per_year / shape)
        while start < years:
            shows = _shows(usage, level, chance)
            self._stretches.append((start, start + 1, shows * usage.hours_per_show))
            start += 1

    def wait(self, now: float, hours: float) -> float | None:
        """Years from now until so many hours were on; None if that never comes."""
        if hours <= 0:
            return 0.0
        for start, end, pace in self._stretches:
            begun = max(start, now)
            if end <= begun or pace == 0:
                continue
            if hours <= pace * (end - begun) * (1 + 1e-12):
                return begun + hours / pace - now
            hours -= pace * (end - begun)
        return None


def _shows(usage: Usage, level: float | None, chance: random.Random) -> float:
    mean = level
    if usage.yearly_size is not None:
        size = usage.yearly_size
        mean = chance.gammavariate(size, usage.shows_per_year / size)
    if mean is None:
        return usage.shows_per_year
    shows, waited = -1, 0.0  # a Poisson number: arrivals at rate ``mean`` within one unit
    while waited < 1.0:
        waited += chance.expovariate(mean) if mean else 2.0
        shows += 1
    return shows

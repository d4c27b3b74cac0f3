"""How many years a stock lasts: the question put together from the log, and its answers.

Spares are what can go on stage: sealed and tested for show, with or without the pulled reserve.
Tested units have passed already; the share that passes is averaged over both, which is exact in
the mean and a little wide in the spread. Where nothing can be said, `refusals` says why.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property, lru_cache

import numpy as np

from collection.core.depletion import (
    Change,
    Depletion,
    DepletionError,
    Gain,
    Sockets,
    Stock,
    Usage,
    deplete,
    gain,
    hand_rule_years,
    seed_from,
    warnings,
)
from collection.core.life import Life, LifeDraws, LifeError
from collection.stock.counting import ready, reserve
from collection.stock.lives import Law, NoLaw, PartLife, law_of, lives_of
from collection.stock.positions import Feed, feeds_of
from collection.stock.records import TypeStock
from collection.stock.use import Use, use_of

YEARS = 30
FUTURES = 10_000
CHANCES = (0.1, 0.5, 0.9)
Pull = float | str | None  # hours, None: until it fails, or a word of the two below
UNCHOSEN = "unchosen"
AS_CHOSEN = "as chosen"
LASTS = Life(shape=1.0, scale_hours=float("inf"))


class Refused(ValueError):
    """A forecast that cannot be made, with every reason in plain words."""

    def __init__(self, reasons: tuple[str, ...]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons


@dataclass(frozen=True)
class Asked:
    """One question: spares, sockets, life and use; the same question has the same answer."""

    stock: Stock
    sockets: Sockets
    law: Law
    usage: Usage

    @cached_property
    def seed(self) -> int:
        """A seed of what is asked, so that a reload shows the same figures."""
        return seed_from(self.stock, self.sockets, self.law.life, self.usage)

    def __hash__(self) -> int:
        return self.seed

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Asked) and self.seed == other.seed

    @property
    def figures(self) -> Depletion:
        """The forecast."""
        return _figures(self)

    @property
    def by_year(self) -> np.ndarray:
        """Usable units left after 0, 1, … years: (years + 1, 3) at 10, 50 and 90 %."""
        return _by_year(self)

    @property
    def hand_rule_years(self) -> float:
        """Spares × hours to the pull ÷ (positions × hours a year), as done on paper.

        Where nothing is pulled, the mean life stands for the hours to the pull.
        """
        runs = any(socket.pull_at_hours == float("inf") for socket in self.sockets.in_use())
        return hand_rule_years(
            self.stock, self.sockets, self.law.life if runs else LASTS, self.usage
        )


@lru_cache(maxsize=128)
def _figures(asked: Asked) -> Depletion:
    return deplete(
        asked.stock,
        asked.sockets,
        asked.law.life,
        asked.usage,
        futures=FUTURES,
        years=YEARS,
        seed=asked.seed,
    )


@lru_cache(maxsize=64)
def _by_year(asked: Asked) -> np.ndarray:
    return asked.figures.by_year()


@dataclass(frozen=True)
class Outcome:
    """When a position can no longer be fed, in years from now; None: beyond the horizon."""

    quantiles: Mapping[float, float | None]
    failures_per_show: float
    units: int

    @property
    def median(self) -> float | None:
        """Even chance."""
        return self.quantiles[0.5]

    @property
    def beyond(self) -> bool:
        """Whether any of the three lies beyond the horizon."""
        return None in self.quantiles.values()


def outcome(asked: Asked) -> Outcome:
    """The figures of a question."""
    found = {p: asked.figures.quantile(p) for p in CHANCES}
    known = {p: None if years == float("inf") else years for p, years in found.items()}
    return Outcome(known, asked.figures.failures_per_show, asked.stock.units)


class Prospect:
    """A stock with everything that its forecast is made of; questions are asked of it."""

    def __init__(
        self, stock: TypeStock, *, today: date, booked_hours: tuple[float, ...] = ()
    ) -> None:
        self.stock, self.today = stock, today
        shows, clock = stock.shelf.shows, stock.lead.clock
        self.lives: list[PartLife] = lives_of(stock.parts, stock.shelf.fittings, shows, clock=clock)
        self.use: Use = use_of(
            shows, stock.outlook, clock=clock, today=today, booked_hours=booked_hours
        )
        self.feeds: list[Feed] = feeds_of(stock, self.lives, shows, today=today)

    # -- what it is made of ------------------------------------------------------------------
    @property
    def pull(self) -> Pull:
        """When parts are pulled, as somebody has chosen; UNCHOSEN before that."""
        return self.stock.choice.pull_hours if self.stock.choice else UNCHOSEN

    @property
    def spares(self) -> int:
        """Units that can go on stage without the pulled reserve."""
        return self.stock.units(*ready(self.stock.buckets))

    @property
    def reserve(self) -> int:
        """Units of the pulled reserve that may still go on stage."""
        return self.stock.units(*reserve(self.stock.buckets))

    @property
    def pulled_at(self) -> list[float]:
        """Hours at which parts have been pulled so far."""
        return [life.hours for life in self.lives if not life.died and not life.fitted_in]

    def passes_test(self) -> tuple[float, int]:
        """Share of sealed units that pass for a show, and how many tests bear it out."""
        good = sum(n for run in self.stock.tests for g, n in run.passed.items() if g != "bench")
        tried = sum(run.failed + sum(run.passed.values()) for run in self.stock.tests)
        stated = self.stock.outlook.passes_test if self.stock.outlook else None
        if stated is not None:
            return stated, tried
        return (good / tried, tried) if good else (1.0, tried)

    def missing(self, pull: Pull) -> tuple[str, ...]:
        """Why no forecast can be made yet; whole sentences, all of them."""
        found = list(self.use.missing)
        if not self.feeds:
            found.append(
                f"No position uses {self.stock.name}, so nothing can run out. Name it among the "
                "types that fit a circuit's positions, or issue one to a piece."
            )
        elif all(feed.rests for feed in self.feeds):
            found.append("Every piece that uses it is away or rests, so nothing runs out.")
        if pull == UNCHOSEN:
            found.append(
                f"Nobody has chosen when to pull {self.stock.name}. The choice changes the years "
                "tenfold, so it is not made for you."
            )
        return tuple(found)

    # -- questions ---------------------------------------------------------------------------
    def ask(
        self,
        *,
        reserve: bool = False,
        pull: Pull = AS_CHOSEN,
        rest: tuple[str, ...] | None = None,
    ) -> Asked:
        """The question as things are, or with another pull age or other pieces at rest.

        `rest`: codes of pieces; None: those that rest now. Raises Refused with every reason.
        """
        pull = self.pull if pull == AS_CHOSEN else pull
        if missing := self.missing(pull):
            raise Refused(missing)
        try:
            return self._asked(reserve, pull, rest)
        except (DepletionError, LifeError, NoLaw) as error:
            raise Refused((str(error),)) from error

    def _asked(self, reserve: bool, pull: Pull, rest: tuple[str, ...] | None) -> Asked:
        hours = None if pull is None else float(pull)
        law = law_of(
            self.lives, self.stock.outlook, pull_at_hours=hours, seed=seed_from(self.stock.name)
        )
        resting = [bool(f.rests) if rest is None else f.piece in rest for f in self.feeds]
        sockets = Sockets(
            hours_on=tuple(feed.hours for feed in self.feeds),
            pull_at_hours=hours,
            share_of_use=tuple(0.0 if rests else 1.0 for rests in resting),
        )
        return Asked(self._stock(reserve), sockets, law, self.use.usage)

    def _stock(self, with_reserve: bool) -> Stock:
        share, _ = self.passes_test()
        sealed = self.stock.units("sealed")
        units = self.spares + (self.reserve if with_reserve else 0)
        outlook = self.stock.outlook
        return Stock(
            units=units,
            set_size=self.stock.lead.set_size,
            passes_test=(sealed * share + units - sealed) / units if units else 1.0,
            shelf_loss_per_year=outlook.shelf_loss_per_year if outlook else 0.0,
            bulk_losses_per_year=outlook.bulk_losses_per_year if outlook else 0.0,
            bulk_loss_share=outlook.bulk_loss_share if outlook else 0.0,
        )

    def doubts(self, asked: Asked) -> tuple[str, ...]:
        """Warnings of the core, and those that only the log can give."""
        _, tried = self.passes_test()
        said = list(
            warnings(
                asked.figures,
                fit=asked.law.observed,
                years_logged=self.use.years_logged,
                tests=tried if self.stock.units("sealed") else None,
            )
        )
        return tuple(self._of_the_log() + said)

    def _of_the_log(self) -> list[str]:
        said = []
        unknown = sum(not feed.part and not feed.rests for feed in self.feeds)
        if unknown:
            said.append(f"{unknown} positions have nothing fitted in the book; taken as new today.")
        guessed = sum(life.guessed_shows for life in self.lives)
        if guessed:
            said.append(f"Hours of {guessed} shows were not written down; taken at the mean.")
        if self.stock.has_loose:
            said.append(
                f"Some {self.stock.name} are counted singly and nobody has matched them: they "
                f"count as whole sets of {self.stock.lead.set_size}, which matching may not give."
            )
        if loss := self.stock.tubes().get("unexplained", 0):
            said.append(f"{loss} not accounted for; they are not counted as spares.")
        return said


def change(prospect: Prospect, asked: Asked, what: Change) -> tuple[Asked, Gain]:
    """The question after a change, and what the change gains."""
    try:
        then = replace(
            asked,
            stock=what.stock(asked.stock),
            sockets=what.sockets(asked.sockets),
            usage=what.usage(asked.usage),
        )
        gained = gain(
            asked.stock,
            asked.sockets,
            asked.law.life,
            asked.usage,
            what,
            seed=asked.seed,
            observed=asked.law.observed,
        )
    except DepletionError as error:
        raise Refused((str(error),)) from error
    return then, gained


# -- what drives the spread ------------------------------------------------------------------
@dataclass(frozen=True)
class Driver:
    """One thing nobody knows exactly, and how many years of spread go with it."""

    words: str
    width_years: float
    without_years: float


def drivers(asked: Asked) -> list[Driver]:
    """Each uncertain thing held at its middle in turn, the one that narrows most first.

    Widths are those of eight chances in ten, the horizon standing for what lies beyond it.
    """
    whole = _width(asked)
    held = [(words, _width(one)) for words, one in _held(asked)]
    found = [Driver(words, whole, width) for words, width in held]
    return sorted(found, key=lambda driver: driver.without_years)


def _held(asked: Asked) -> list[tuple[str, Asked]]:
    known = replace(asked.usage, yearly_size=None, level_shape=None)
    found = [("how much will be played", replace(asked, usage=known))]
    if isinstance(asked.law.life, LifeDraws):
        middle = Life(
            shape=float(np.median(asked.law.life.shapes)),
            scale_hours=float(np.median(asked.law.life.scales)),
        )
        found.append(("how long they live", replace(asked, law=replace(asked.law, life=middle))))
    if asked.stock.passes_test < 1:
        certain = round(asked.stock.units * asked.stock.passes_test)
        sure = replace(asked.stock, units=certain, passes_test=1.0)
        found.append(("how many pass their test", replace(asked, stock=sure)))
    if asked.stock.loses:
        none = replace(
            asked.stock, shelf_loss_per_year=0.0, bulk_losses_per_year=0.0, bulk_loss_share=0.0
        )
        found.append(("what is lost on the shelf", replace(asked, stock=none)))
    return found


def _width(asked: Asked) -> float:
    low, high = (min(asked.figures.quantile(p), YEARS) for p in (0.1, 0.9))
    return high - low

"""How many years a stock lasts: the question put together from the log.

Spares are what can go on stage: sealed and tested for show, with or without the pulled reserve.
Tested units have passed already; the share that passes is averaged over both, which is exact in
the mean and a little wide in the spread. Where nothing can be said, `Refused` says why.
"""

from dataclasses import replace
from datetime import date, timedelta
from functools import cached_property

from collection.core.depletion import DepletionError, Sockets, Stock, seed_from, warnings
from collection.core.life import LifeError, WeibullFit
from collection.stock.asked import Asked, Refused
from collection.stock.bookings import DAYS_A_MONTH, Booking, shows_by_month
from collection.stock.counting import ready, reserve
from collection.stock.lifetimes.groups import Telling, telling_of
from collection.stock.lives import Law, NoLaw, PartLife, law_of, lives_of
from collection.stock.positions import Feed, feeds_of
from collection.stock.records import TypeStock
from collection.stock.use import Use, use_of

Pull = float | str | None  # hours, None: until it fails, or a word of the two below
FEW_BOOKED = 0.5  # house rule: below half of the usual, the book of tours is not full yet
UNCHOSEN = "unchosen"
AS_CHOSEN = "as chosen"


class Prospect:
    """A stock with everything that its forecast is made of; questions are asked of it."""

    def __init__(
        self,
        stock: TypeStock,
        *,
        today: date,
        booked_hours: tuple[float, ...] = (),
        bookings: tuple[Booking, ...] = (),
    ) -> None:
        self.stock, self.today, self.bookings = stock, today, bookings
        self._laws: dict[float | None, Law] = {}
        shows, clock = stock.shelf.shows, stock.lead.clock
        self.lives: list[PartLife] = lives_of(
            stock.parts, stock.shelf.fittings, shows, clock=clock, today=today
        )
        self.use: Use = use_of(
            shows,
            stock.outlook,
            clock=clock,
            today=today,
            booked_hours=booked_hours,
            booked_shows=shows_by_month(bookings, today),
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

    @cached_property
    def telling(self) -> Telling:
        """Lives that the law is taken from, and who is left out of it."""
        return telling_of(self.lives, self.stock)

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
        law = self._law(hours)
        resting = [bool(f.rests) if rest is None else f.piece in rest for f in self.feeds]
        sockets = Sockets(
            hours_on=tuple(feed.hours for feed in self.feeds),
            pull_at_hours=hours,
            share_of_use=tuple(
                0.0 if rests else feed.share
                for rests, feed in zip(resting, self.feeds, strict=True)
            ),
        )
        return Asked(self.stocked(reserve=reserve), sockets, law, self.use.usage)

    def _law(self, pull_at_hours: float | None) -> Law:
        """The law of life asked at a pull age, worked out once; a fitted one is the same at all."""
        known = next(iter(self._laws.values()), None)
        if known is not None and isinstance(known.observed, WeibullFit):
            return known
        if pull_at_hours not in self._laws:
            self._laws[pull_at_hours] = law_of(
                self.telling.lives,
                self.stock.outlook,
                pull_at_hours=pull_at_hours,
                seed=seed_from(self.stock.name),
                unit=self.stock.lead.unit,
            )
        return self._laws[pull_at_hours]

    def stocked(self, *, reserve: bool = False, bought: int = 0) -> Stock:
        """Spares as the forecast counts them: bought ones have yet to pass their test.

        `bought` below nought: so many lost, of whichever kind. Raises DepletionError.
        """
        share, _ = self.passes_test()
        untried = self.stock.units("sealed") + max(0, bought)
        units = self.spares + (self.reserve if reserve else 0) + max(0, bought)
        if units + min(0, bought) < 0:
            raise DepletionError(f"{-bought} units cannot be lost from a stock of {units}.")
        outlook = self.stock.outlook
        return Stock(
            units=units + min(0, bought),
            set_size=self.stock.lead.set_size,
            passes_test=(untried * share + units - untried) / units if units else 1.0,
            shelf_loss_per_year=outlook.shelf_loss_per_year if outlook else 0.0,
            bulk_losses_per_year=outlook.bulk_losses_per_year if outlook else 0.0,
            bulk_loss_share=outlook.bulk_loss_share if outlook else 0.0,
        )

    def ask_for(self, grade: str, *, reserve: bool = False) -> Asked:
        """The question for the positions that want one grade, fed by that grade and sealed ones.

        The share of sealed units that make the grade is that of the tests so far; where none
        did, sealed ones are not counted. `reserve`: those pulled with that grade too. Raises
        Refused.
        """
        asked = self.ask()
        wanted = [
            feed.share if feed.grade == grade and not feed.rests else 0.0 for feed in self.feeds
        ]
        tried = sum(run.failed + sum(run.passed.values()) for run in self.stock.tests)
        good = sum(run.passed.get(grade, 0) for run in self.stock.tests)
        pulled = (f"pulled:{grade}",) if reserve else ()
        graded = self.stock.units(f"tested:{grade}", *pulled)
        sealed = self.stock.units("sealed") if good else 0
        units, share = graded + sealed, (good / tried if good else 1.0)
        passes = (graded + sealed * share) / units if units else 1.0
        sockets = replace(asked.sockets, share_of_use=tuple(wanted))
        stock = replace(asked.stock, units=units, passes_test=passes)
        return replace(asked, stock=stock, sockets=sockets)

    @property
    def grades(self) -> tuple[str, ...]:
        """Grades that positions in use ask for by name."""
        wanted = {feed.grade for feed in self.feeds if feed.grade and not feed.rests}
        return tuple(sorted(wanted))

    def doubts(self, asked: Asked) -> tuple[str, ...]:
        """Warnings of the core, and those that only the log can give."""
        _, tried = self.passes_test()
        said = list(
            warnings(
                asked.figures,
                fit=asked.law.observed,
                years_logged=self.use.years_logged and round(self.use.years_logged, 1),
                tests=tried if self.stock.units("sealed") else None,
                unit="hours" if self.stock.lead.unit == "h" else self.stock.lead.unit,
            )
        )
        return tuple(self._of_the_log() + self._of_the_plan(asked) + said)

    def _of_the_plan(self, asked: Asked) -> list[str]:
        """What the booked months and the reserve are taken for."""
        said = []
        usage, months = asked.usage, len(asked.usage.booked_hours)
        until = f"{self.today + timedelta(days=months * DAYS_A_MONTH):%B %Y}"
        booked, law = sum(usage.booked_hours), usage.hours_per_year * months / 12
        if months and not law:
            said.append(f"Only booked shows are known: after {until} no use is counted at all.")
        elif booked < FEW_BOOKED * law:
            said.append(
                f"Until {until} only booked shows are counted, {100 * booked / law:.0f} in 100 of "
                "what a time like that has brought so far; each show added brings the end nearer."
            )
        if self.reserve:
            said.append(
                f"With the reserve, each of its {self.reserve} is taken to last like a new one, "
                "whatever it has run; count on less."
            )
        return said

    def _of_the_log(self) -> list[str]:
        said = []
        if self.telling.apart:
            said.append(self.telling.sentence)
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

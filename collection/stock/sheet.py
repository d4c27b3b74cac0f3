"""What the stock pages show: cards, columns, tables and lines, made of forecasts."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from collection.core.depletion import Gain
from collection.core.drawing import FanSeries
from collection.stock.alarms import alarms_of
from collection.stock.asked import CHANCES, YEARS, Asked, Outcome, Refused, outcome
from collection.stock.counting import gauge_counts
from collection.stock.endangered import TourChance, tour_chances
from collection.stock.forecast import Prospect
from collection.stock.use import DAYS_A_YEAR

FEED_WORDS = {0.1: "one chance in ten", 0.5: "even chance", 0.9: "nine chances in ten"}


# -- years -----------------------------------------------------------------------------------
def year_of(years: float | None, today: date) -> int | None:
    """The calendar year so many years from now; None beyond the horizon."""
    return None if years is None else (today + timedelta(days=years * DAYS_A_YEAR)).year


@dataclass(frozen=True)
class Run:
    """When one stock runs out: from, to, even chance, as calendar years (None: beyond)."""

    words: str
    first: int | None
    even: int | None
    last: int | None
    from_year: int
    to_year: int

    @property
    def said(self) -> str:
        """As said: '2030 to 2034'."""
        if self.first is None:
            return f"after {self.to_year}"
        last = f"after {self.to_year}" if self.last is None else self.last
        return f"{self.first}" if self.first == last else f"{self.first} to {last}"

    @property
    def even_said(self) -> str:
        """The even chance in words."""
        return f"after {self.to_year}" if self.even is None else str(self.even)


def run_of(words: str, found: Outcome, today: date) -> Run:
    """The run-out of one forecast."""
    first, even, last = (year_of(found.quantiles[p], today) for p in CHANCES)
    return Run(words, first, even, last, today.year, today.year + YEARS)


# -- the page of all types -------------------------------------------------------------------
@dataclass(frozen=True)
class Card:
    """One type on the stock page."""

    prospect: Prospect
    gauge: dict[str, int]
    runs: tuple[Run, ...]
    refusals: tuple[str, ...]
    median: float | None
    tours: tuple[TourChance, ...] = ()

    @property
    def endangers(self) -> TourChance | None:
        """The first planned tour that it may not reach."""
        return next((one for one in self.tours if one.endangered), None)

    @property
    def stock(self):
        """The stock it shows."""
        return self.prospect.stock

    @property
    def eaters(self) -> str:
        """Which pieces use it."""
        return ", ".join(dict.fromkeys(f.piece for f in self.prospect.feeds if not f.rests))

    @cached_property
    def alarms(self) -> tuple[str, ...]:
        """What is below the line that somebody has drawn, in whole sentences."""
        return alarms_of(self.prospect, self.median)


def card_of(prospect: Prospect) -> Card:
    """Gauge and run-out lines of one type; where there is no forecast, why."""
    gauge = gauge_counts(prospect.stock.tubes())
    try:
        asked = {words: prospect.ask(reserve=with_it) for words, with_it in _LINES}
        found = {words: outcome(one) for words, one in asked.items()}
    except Refused as refused:
        return Card(prospect, gauge, (), refused.reasons, None)
    runs = tuple(run_of(words, one, prospect.today) for words, one in found.items())
    tours = tour_chances(asked["without reserve"], prospect.bookings, prospect.today)
    return Card(prospect, gauge, runs, (), found["without reserve"].median, tours)


_LINES = (("without reserve", False), ("with reserve", True))


def first_out(cards: Sequence[Card]) -> Card | None:
    """The type that runs out first by even chance."""
    known = [card for card in cards if card.runs and card.median is not None]
    return min(known, key=lambda card: card.median or 0.0, default=None)


# -- one type --------------------------------------------------------------------------------
@dataclass(frozen=True)
class Figures:
    """Forecasts of one type with and without the pulled reserve, as the page shows them."""

    asked: Asked
    found: Outcome
    with_reserve: Outcome
    fan: tuple[FanSeries, ...]
    today: date
    by_grade: tuple[tuple[str, int, Run, int, Run], ...] = ()

    @property
    def runs(self) -> tuple[Run, ...]:
        """Two run-out lines."""
        both = zip(_LINES, (self.found, self.with_reserve), strict=True)
        return tuple(run_of(words, one, self.today) for (words, _), one in both)

    @property
    def rows(self) -> list[tuple[str, str, str]]:
        """The table: chance, without reserve, with it."""
        return [
            (FEED_WORDS[p], said(self.found.quantiles[p], self.today),
             said(self.with_reserve.quantiles[p], self.today))
            for p in CHANCES
        ]  # fmt: skip

    @property
    def coming_years(self) -> list[tuple[int, int]]:
        """Chance, in 100, to get through each of the coming years without the reserve."""
        ahead = (1, 2, 3, 5, 10)
        chances = ((n, 1 - self.asked.figures.chance_by(n)) for n in ahead)
        return [(n, round(100 * chance)) for n, chance in chances]

    @property
    def what(self) -> str:
        """What the drawing shows, for those who do not see it."""
        return "Spares left, year by year"

    @property
    def hand_rule(self) -> str:
        """Years by the hand rule."""
        return by_hand(self.asked)


def said(years: float | None, today: date) -> str:
    """Years from now and the year that is."""
    if years is None:
        return f"more than {YEARS} years"
    return f"{years:.1f} years, {year_of(years, today)}"


def by_hand(asked: Asked) -> str:
    """The hand rule's years in words."""
    years = asked.hand_rule_years
    return "needs shows a year" if years is None else f"{years:.1f} years"


def figures_of(prospect: Prospect) -> Figures:
    """Both forecasts of a type; raises Refused."""
    asked = [prospect.ask(reserve=with_it) for _, with_it in _LINES]
    lines = [
        _fan(one, words, prospect.today) for one, (words, _) in zip(asked, _LINES, strict=True)
    ]
    shown = lines if prospect.reserve else lines[:1]
    return Figures(
        asked[0],
        outcome(asked[0]),
        outcome(asked[1]),
        tuple(shown),
        prospect.today,
        tuple(_of_grade(prospect, grade) for grade in prospect.grades),
    )


def _of_grade(prospect: Prospect, grade: str) -> tuple[str, int, Run, int, Run]:
    without, with_it = (outcome(prospect.ask_for(grade, reserve=r)) for r in (False, True))
    runs = (run_of(grade, found, prospect.today) for found in (without, with_it))
    return grade, without.units, next(runs), with_it.units, next(runs)


def _fan(asked: Asked, words: str, today: date) -> FanSeries:
    """What is left each year, cut a little after the last line meets zero."""
    left = asked.by_year
    empty = [n for n, row in enumerate(left) if row[2] <= 0]
    until = min(len(left), max(3, empty[0] + 2)) if empty else len(left)
    start = today.year + (today.timetuple().tm_yday - 1) / DAYS_A_YEAR
    low, middle, high = (tuple(float(v) for v in left[:until, n]) for n in range(3))
    return FanSeries(words.split()[0], tuple(start + n for n in range(until)), low, middle, high)


# -- what if ---------------------------------------------------------------------------------
@dataclass(frozen=True)
class Comparison:
    """As it is beside as it would be."""

    now: Run
    then: Run
    gain: Gain
    rows: tuple[tuple[str, str, str], ...]

    @property
    def gained(self) -> str:
        """Years gained or lost, in words."""
        return gained_said(self.gain)

    @property
    def failures(self) -> str:
        """Added failures on stage in a hundred shows."""
        return failures_said(self.gain)


def gained_said(gain: Gain) -> str:
    """Years gained or lost, in words."""
    if gain.before == gain.after == float("inf"):
        return "Both last more than 120 years."
    if gain.after == float("inf"):
        return "It then lasts more than 120 years."
    if gain.before == float("inf"):
        return "It lasts more than 120 years as things are."
    if round(gain.years, 1) == 0:
        return "No difference in years."
    what = "gained" if gain.years > 0 else "lost"
    return f"{abs(gain.years):.1f} years {what}, even chance against even chance."


def failures_said(gain: Gain) -> str:
    """Added failures on stage in a hundred shows."""
    many = 100 * gain.added_failures_per_show
    if abs(many) < 0.05:
        return "No difference in failures on stage that could be counted."
    what = "more" if many > 0 else "fewer"
    return f"{abs(many):.1f} {what} failures on stage in 100 shows."


def compare(asked: Asked, then: Asked, gained: Gain, today: date) -> Comparison:
    """Two questions side by side."""
    before, after = outcome(asked), outcome(then)
    rows = [
        (FEED_WORDS[p], said(before.quantiles[p], today), said(after.quantiles[p], today))
        for p in CHANCES
    ]
    rows.append(("hand rule", by_hand(asked), by_hand(then)))
    return Comparison(
        run_of("as it is", before, today), run_of("as it would be", after, today), gained,
        tuple(rows),
    )  # fmt: skip

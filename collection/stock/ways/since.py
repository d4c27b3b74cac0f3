"""A kept plan beside what has happened since: left, used, died, played."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from collection.core.entry import to_us
from collection.stock.asked import CHANCES, Refused, outcome
from collection.stock.forecast import Prospect
from collection.stock.sheet import FEED_WORDS, said
from collection.stock.use import DAYS_A_YEAR
from collection.stock.ways.models import ThriftPlan

EARLY = 0.25  # years; before that nothing much can have happened (house rule)


@dataclass(frozen=True)
class Since:
    """A plan and what came of it, up to now."""

    plan: ThriftPlan
    prospect: Prospect
    now: datetime
    received: int

    @property
    def years(self) -> float:
        """Years since it was kept."""
        return (self.now - self.plan.made_at).total_seconds() / 86400 / DAYS_A_YEAR

    @property
    def later(self) -> str:
        """How long ago it was kept: 'kept today', '12 days later', '1.8 years later'."""
        days = (self.now - self.plan.made_at).days
        if days < 1:
            return "kept today"
        return (
            f"{days} day{'s' * (days > 1)} later" if days < 90 else f"{self.years:.1f} years later"
        )

    @property
    def then(self) -> dict:
        """Figures as the plan had them."""
        return self.plan.figures["then"]

    @property
    def size(self) -> int:
        """Single parts in one unit."""
        return self.prospect.stock.lead.set_size

    # -- what was expected -------------------------------------------------------------------
    @property
    def expected_left(self) -> tuple[float, float, float]:
        """Spares that the plan had left by now: 10, 50 and 90 %."""
        rows = np.array(self.then["by_year"])
        at = min(self.years, len(rows) - 1)
        low, middle, high = (float(np.interp(at, range(len(rows)), rows[:, n])) for n in range(3))
        return low, middle, high

    @property
    def expected_used(self) -> float | None:
        """Single parts that would have been used by now."""
        used = self.then["used_a_year"]
        return None if used is None else used * self.years

    @property
    def expected_shows(self) -> float:
        """Shows that would have been played by now."""
        return self.then["shows_per_year"] * self.years

    @property
    def expected_deaths(self) -> float:
        """Deaths on stage in the shows that were played."""
        return self.then["failures_per_show"] * self.shows

    # -- what came ---------------------------------------------------------------------------
    @property
    def left(self) -> int:
        """Spares now, with the reserve where the plan counted it."""
        reserve = self.prospect.reserve if self.plan.figures["reserve"] else 0
        return self.prospect.spares + reserve

    def _out(self) -> list:
        codes = {one.part.code: one.tubes for one in self.prospect.stock.parts}
        since = to_us(self.plan.made_at)
        moves = self.prospect.stock.shelf.fittings
        gone = [m for m in moves if m.part in codes and not m.goes_in and m.at[0] >= since]
        return [(move, codes[move.part]) for move in gone]

    @property
    def used(self) -> int:
        """Single parts taken out, pulled or dead."""
        return sum(tubes for _, tubes in self._out())

    @property
    def deaths(self) -> int:
        """How many times one died."""
        return sum(move.died for move, _ in self._out())

    @property
    def shows(self) -> int:
        """Shows played."""
        played = self.prospect.stock.shelf.shows
        return sum(s.at[0] >= to_us(self.plan.made_at) and not s.session for s in played)

    # -- what it comes to --------------------------------------------------------------------
    @property
    def verdict(self) -> str:
        """Whether it went as the plan had it, in one sentence."""
        low, _, high = self.expected_left
        if self.years < EARLY:
            return "It is too early to say: a season tells more than weeks."
        if self.left < low:
            return "Fewer are left than nine chances in ten allowed for: the plan does not hold."
        if self.left > high:
            return "More are left than the plan expected, with one chance in ten of that."
        return "So far it went as the plan expected, within eight chances in ten."

    @property
    def rows(self) -> list[tuple[str, str, str]]:
        """The table: what, as the plan had it, as it came."""
        low, middle, high = self.expected_left
        used = self.expected_used
        rows = [
            ("shows", f"{self.expected_shows:.0f}", f"{self.shows}"),
            ("left", f"{middle:.0f} ({low:.0f} to {high:.0f})", f"{self.left}"),
            ("used, single parts", "not given" if used is None else f"{used:.1f}", f"{self.used}"),
            ("died on stage", f"{self.expected_deaths:.1f}", f"{self.deaths}"),
            ("came in", f"{self.plan.inputs.get('buy', 0)}", f"{self.received}"),
        ]
        return rows

    @property
    def years_rows(self) -> list[tuple[str, str, str]]:
        """Run-out as the plan had it from its day, and as it stands from today."""
        try:
            today = outcome(self.prospect.ask(reserve=self.plan.figures["reserve"])).quantiles
        except Refused:
            return []
        made_on = self.plan.made_at.date()
        planned = self.then["quantiles"]
        return [
            (FEED_WORDS[p], said(planned[str(p)], made_on), said(today[p], self.prospect.today))
            for p in CHANCES
        ]

"""Ways side by side: the ones worth asking for this stock, and what each would do."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from collection.stock.asked import CHANCES, Outcome, Refused, outcome
from collection.stock.forecast import UNCHOSEN, Prospect
from collection.stock.pulling import presets
from collection.stock.sheet import said
from collection.stock.ways.way import FAILS, Put, Way, in_use, near_types, put, twins, two_on

BURN_IN_HOURS = 10  # common practice, no source
BUY_SHARE = 10  # one in so many of what is there, to compare


@dataclass(frozen=True)
class Row:
    """One way with its figures, or why it cannot be asked."""

    words: str
    way: Way
    prospect: Prospect
    basis: str = ""

    @cached_property
    def put(self) -> Put | None:
        """The two questions; None where they are refused."""
        try:
            return put(self.prospect, self.way)
        except Refused:
            return None

    @property
    def refusal(self) -> str:
        """Why it cannot be asked; '' where it can."""
        try:
            put(self.prospect, self.way)
        except Refused as refused:
            return " ".join(refused.reasons)
        return ""

    @cached_property
    def found(self) -> Outcome:
        """Years as they would be."""
        return outcome(self.put.then)

    @property
    def years(self) -> list[str]:
        """Years by 10, 50 and 90 %, with the calendar year."""
        return [said(self.found.quantiles[p], self.prospect.today) for p in CHANCES]

    @property
    def gained(self) -> str:
        """Years gained, signed; the sign of a difference that chance hides is not shown."""
        gain = self.put.gain
        if gain.before == gain.after == float("inf"):
            return "both beyond 120 years"
        if float("inf") in (gain.before, gain.after):
            return "beyond 120 years" if gain.after == float("inf") else "no longer endless"
        return "0.0" if abs(gain.years) < 0.05 else f"{gain.years:+.1f}"

    @property
    def used(self) -> str:
        """Single parts used a year."""
        used = self.put.used_a_year
        return "needs shows a year" if used is None else f"{used:.1f}"

    @property
    def failures(self) -> str:
        """Failures on stage in a hundred shows."""
        return _in_a_hundred(self.found.failures_per_show)

    @property
    def added(self) -> str:
        """Added failures on stage in a hundred shows, signed."""
        many = 100 * self.put.gain.added_failures_per_show
        return "0.00" if abs(many) < 0.005 else f"{many:+.2f}"

    @property
    def extrapolated(self) -> bool:
        """Whether it, or what is done already, pulls later than any life in the log lasted."""
        pulls = self.way.pull is not None or self.way == Way()
        return pulls and self.put.gain.extrapolated

    @property
    def price_a_year(self) -> int | None:
        """Minor units of money for one year gained, where a price is given and years are."""
        years, price = self.put.gain.years, self.way.price_minor
        return round(price / years) if price and 0.05 <= years < float("inf") else None


def _in_a_hundred(failures: float) -> str:
    many = 100 * failures
    return "under 0.01" if many < 0.01 else f"{many:.2f}"


def side_by_side(prospect: Prospect) -> list[Row]:
    """As it is first, then every way worth asking."""
    return [Row(words, way, prospect, basis) for words, way, basis in _ways(prospect)]


def _ways(prospect: Prospect) -> Iterator[tuple[str, Way, str]]:
    unit = prospect.stock.lead.unit
    # Where nobody has chosen when to pull, every other way is refused for that; said once above.
    if prospect.pull != UNCHOSEN:
        yield "as it is", Way(), ""
    for hours, basis in presets(prospect):
        words = "run until it fails" if hours is None else f"pull at {hours} {unit}"
        yield words, Way(pull=FAILS if hours is None else hours), basis
    if prospect.pull == UNCHOSEN:
        return
    burn_in = f"burn in {BURN_IN_HOURS} {unit} on the bench"
    yield burn_in, Way(burn_in=BURN_IN_HOURS), "Common practice, no source."
    for code, called in in_use(prospect)[:4]:
        yield f"rest {called}", Way(rest=(code,)), ""
    for called, many in twins(prospect):
        yield f"one {called} fewer on tour", Way(fewer=called), _turns(prospect, called, many)
    if prospect.reserve:
        yield "use the pulled reserve too", Way(reserve=True), f"{prospect.reserve} in reserve."
    more = max(1, prospect.spares // BUY_SHARE)
    yield f"buy {more}", Way(buy=more), "One in ten of what is there, to compare."
    for key, words in near_types(prospect)[:2]:
        yield words, Way(near=key), "That position no longer draws on this stock."


def _turns(prospect: Prospect, called: str, many: int) -> str:
    turns = f"Where two or more were on in a show, one stays off; all {many} take turns."
    if not prospect.use.shows_logged:
        return f"{turns} No show is logged, so all are taken to be on in every one."
    return (
        f"{turns} So it was in {100 * two_on(prospect, called):.0f} of 100 shows of the last year."
    )


def as_given(prospect: Prospect, way: Way) -> Row:
    """The row of a way that somebody has put together."""
    return Row("as you put it", replace(way), prospect)

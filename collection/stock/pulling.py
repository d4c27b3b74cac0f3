"""When to pull: a few ages side by side with what each uses up and lets fail on stage."""

from dataclasses import dataclass, replace
from statistics import median

from collection.core.depletion import hand_rule_years
from collection.stock.asked import Asked, Refused, outcome
from collection.stock.forecast import Prospect
from collection.stock.sheet import Run, run_of

OUTPUT_WATTS = 5  # house rule: below it a tube is no output tube
OUTPUT = [
    (60, "One touring practice for output tubes; common practice, no source."),
    (500, "Handbooks of tube dealers give 500 to 750 h for output tubes."),
]
SMALL = [
    (200, "One touring practice for small tubes; common practice, no source."),
    (1000, "Five times that, to compare; no source."),
]


@dataclass(frozen=True)
class Column:
    """One choice of when to pull, with what it costs."""

    value: str
    words: str
    basis: str
    used_a_year: float | None = None
    without: Run | None = None
    with_it: Run | None = None
    failures: float | None = None
    refusal: str = ""

    @property
    def places(self) -> range:
        """Left edges of one mark a tube used in a year, at most seventeen."""
        return range(0, 8 * min(17, round(self.used_a_year or 0)), 8)

    @property
    def fails_said(self) -> str:
        """Failures on stage in a hundred shows."""
        if self.failures is None:
            return "not known"
        many = 100 * self.failures
        return "under 0.1" if many < 0.1 else f"{many:.1f}"


def pull_columns(prospect: Prospect) -> list[Column]:
    """Four columns of one question; no column is ticked for anybody."""
    return [_column(prospect, hours, basis) for hours, basis in presets(prospect)]


def presets(prospect: Prospect) -> list[tuple[float | None, str]]:
    """Pull ages worth comparing, each with its basis; None: until it fails."""
    pulled = prospect.pulled_at
    own = max(1, round(median(pulled))) if pulled else None
    lead = prospect.stock.lead
    if lead.noun != "tube":
        return _around(prospect, own)
    known = OUTPUT if lead.set_size > 1 or (lead.plate_watts or 0) >= OUTPUT_WATTS else SMALL
    between = known[0][0] * 4
    logged = f"What the log shows: the middle of {len(pulled)} pulls." if pulled else ""
    second = (own, logged) if own else (between, "Four times that, to compare; no source.")
    if own in {known[0][0], known[1][0]}:
        known = [(h, logged if h == own else basis) for h, basis in known]
        second = (between, "To compare; no source.")
    return [*sorted([*known, second]), (None, "Nothing is pulled while it still plays.")]


def _around(prospect: Prospect, own: int | None) -> list[tuple[float | None, str]]:
    """For what is no tube nobody has published an age: half and twice what is known here."""
    chosen = prospect.stock.choice.pull_hours if prospect.stock.choice else None
    middle = chosen or own
    if middle is None:
        return [(None, "Nothing is taken out while it still works.")]
    said = "As chosen." if chosen else f"The middle of {len(prospect.pulled_at)} taken out so far."
    compare = "To compare; no source."
    ages = [(max(1, middle // 2), compare), (middle, said), (2 * middle, compare)]
    return [*ages, (None, "Nothing is taken out while it still works.")]


def _column(prospect: Prospect, hours: float | None, basis: str) -> Column:
    unit = prospect.stock.lead.unit
    value, words = ("fails", "until it fails") if hours is None else (str(hours), f"{hours} {unit}")
    try:
        without, with_it = (prospect.ask(reserve=r, pull=hours) for r in (False, True))
    except Refused as refused:
        return Column(value, words, basis, refusal=" ".join(refused.reasons))
    found, more = outcome(without), outcome(with_it)
    longest = without.law.longest_hours
    if hours is None or hours > longest:
        seen = f"nothing in the log is older than {longest:.0f} {unit}"
        basis += f" Extrapolated: {seen if longest else 'no life is logged yet'}."
    return Column(
        value,
        words,
        basis,
        used_a_year=used_a_year(without),
        without=run_of("without", found, prospect.today),
        with_it=run_of("with", more, prospect.today),
        failures=found.failures_per_show,
    )


def used_a_year(asked: Asked) -> float | None:
    """Single parts used a year in the long run, pulled or dead: the hand rule turned round."""
    if not asked.usage.hours_per_year:
        return None
    one = replace(asked.stock, units=1, passes_test=1.0)
    return one.set_size / hand_rule_years(one, asked.sockets, asked.law.life, asked.usage)

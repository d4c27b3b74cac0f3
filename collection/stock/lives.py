"""Lives of parts from the log, and the law of life that they bear out.

Only 'died' ends a life; pulled, lost and still fitted parts lived at least so long. A part that
brought hours along is known from those hours on only. A set ends with its first failure: for
the law of a single tube it counts as that many tubes, of which one died.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from collection.core.life import Life, LifeDraws, LifeError, WeibullFit, fit, posterior
from collection.stock.ageing import run_in_days
from collection.stock.models import Outlook, PartType
from collection.stock.records import Fitting, PartAt, ShowPlayed
from collection.stock.running import Log, Ran

ENOUGH_DEATHS = 5  # house rule: below it a fitted law is a guess
DRAWS = 2000


@dataclass(frozen=True)
class PartLife:
    """Hours of one part on its type's clock, from when the log knows it."""

    part: str
    hours: float
    entry_hours: float
    died: bool
    tubes: int
    fitted_in: str
    position: str
    guessed_shows: int  # shows without hours, taken at the mean of the others
    maker: str = ""
    lot: str = ""

    @property
    def tells(self) -> bool:
        """Whether it adds anything to what is known of lives."""
        return self.hours > self.entry_hours


@dataclass(frozen=True)
class Law:
    """A law of life and what it rests on; `observed` knows deaths, lives and the longest age.

    `longest_hours`: the highest age in the log, whether the law is taken from it or assumed.
    """

    life: Life | LifeDraws
    basis: str
    observed: WeibullFit | LifeDraws | None = None
    longest_hours: float = 0.0


class NoLaw(ValueError):
    """Nothing is known of how long a type lives, where it must be known."""


# -- lives -----------------------------------------------------------------------------------
def lives_of(
    parts: Sequence[PartAt],
    fittings: Sequence[Fitting],
    shows: Sequence[ShowPlayed],
    *,
    clock: str,
    today: date | None = None,
) -> list[PartLife]:
    """One life a part that was ever fitted, in the order of the parts.

    `today` is needed on the clock that counts days: a part that is still in ages without a show.
    """
    log = Log.of(fittings, shows)
    if clock == PartType.Clock.DAYS:
        ran = ((part, run_in_days(log.moves_of(part.part.code), today=today)) for part in parts)
        return [_life(part, one) for part, one in ran if one is not None]
    found = ((part, log.ran(part.part.code, clock)) for part in parts)
    return [_life(part, ran) for part, ran in found if ran is not None]


def _life(part: PartAt, ran: Ran) -> PartLife:
    lot = part.part.lot
    return PartLife(
        part=part.part.code,
        hours=ran.hours,
        entry_hours=ran.entry_hours,
        died=ran.died,
        tubes=part.tubes,
        fitted_in=ran.fitted_in,
        position=ran.position,
        guessed_shows=ran.guessed_shows,
        maker=lot.brand if lot else "",
        lot=lot.code if lot else "",
    )


# -- the law ---------------------------------------------------------------------------------
def law_of(
    lives: Sequence[PartLife],
    outlook: Outlook | None,
    *,
    pull_at_hours: float | None,
    seed: int,
    unit: str = "h",
) -> Law:
    """The best supported law of life of a single part; raises NoLaw.

    Five deaths or more: a fitted law. Fewer: what somebody assumes, else everything that the
    log leaves open. No log at all: parts are taken to last until they are pulled.
    """
    told = [life for life in lives if life.tells]
    law = _best(told, outlook, pull_at_hours=pull_at_hours, seed=seed, unit=unit)
    return replace(law, longest_hours=max((life.hours for life in told), default=0.0))


def _best(
    told: Sequence[PartLife],
    outlook: Outlook | None,
    *,
    pull_at_hours: float | None,
    seed: int,
    unit: str,
) -> Law:
    deaths = sum(life.died for life in told)
    if deaths >= ENOUGH_DEATHS and (law := _fitted(told, unit)):
        return law
    if outlook and outlook.assumed_scale_hours:
        shape = outlook.assumed_shape or 1.5
        scale = outlook.assumed_scale_hours
        said = f"Assumed, not logged: shape {shape:g}, scale {scale:g} {unit}."
        return Law(Life(shape=shape, scale_hours=scale), said)
    if told:
        return _open(told, pull_at_hours, seed)
    if pull_at_hours is None:
        raise NoLaw(
            "Nobody has logged how long these live, so 'until it fails' has no answer yet. "
            "Issue them to their pieces, and record each one that is pulled or dies."
        )
    return Law(
        Life(shape=1.0, scale_hours=float("inf")),
        "No life is logged yet: every one is taken to last until it is pulled.",
    )


def rows_of(told: Sequence[PartLife]) -> tuple[list[float], list[bool], list[float]]:
    """Hours at the end, whether it died, first hours: a row a single part."""
    hours, failed, entry = [], [], []
    for life in told:
        for tube in range(life.tubes):
            hours.append(life.hours)
            failed.append(life.died and tube == 0)
            entry.append(life.entry_hours)
    return hours, failed, entry


def _fitted(told: Sequence[PartLife], unit: str) -> Law | None:
    hours, failed, entry = rows_of(told)
    try:
        found = fit(hours, failed, entry_hours=entry)
    except LifeError:
        return None  # deaths at one age fit no law; what the log leaves open still answers
    said = (
        f"Fitted to {found.failures} deaths among {found.lives} lives: shape {found.shape:.2g}, "
        f"scale {found.scale_hours:.0f} {unit}."
    )
    return Law(found.life(), said, found)


def _open(told: Sequence[PartLife], pull_at_hours: float | None, seed: int) -> Law:
    hours, failed, entry = rows_of(told)
    look_at = pull_at_hours or max(hours)
    drawn = posterior(
        hours, failed, entry_hours=entry, pull_at_hours=look_at, draws=DRAWS, seed=seed
    )
    deaths = f"{sum(failed)} death{'s' * (sum(failed) != 1)}"
    said = f"{deaths} among {len(hours)} lives: everything the log leaves open is drawn."
    return Law(drawn, said, drawn)

"""The curve of one group of lives: what the log shows, and the law it bears out.

Five deaths or more: Kaplan-Meier steps with their 95 % band, and the fitted law through them.
Fewer: only what the log leaves open, with 95 % of its draws shaded. No death: an upper bound.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import median

import numpy as np

from collection.core.depletion import seed_from
from collection.core.drawing.survival import SurvivalPlot, survival_plot
from collection.core.life import (
    LifeDraws,
    LifeError,
    SurvivalCurve,
    WeibullFit,
    fit,
    kaplan_meier,
    posterior,
)
from collection.stock.lives import DRAWS, ENOUGH_DEATHS, PartLife, rows_of

POINTS = 80
BEYOND = 1.25  # how far past the longest life a law is drawn, dashed


@dataclass(frozen=True)
class Group:
    """Lives of one maker, lot or all, and everything the page says of them."""

    name: str
    all_lives: tuple[PartLife, ...]
    pull_at_hours: float | None
    unit: str

    @cached_property
    def lives(self) -> tuple[PartLife, ...]:
        """Lives that tell anything: of parts that ran while the log watched."""
        return tuple(life for life in self.all_lives if life.tells)

    @cached_property
    def rows(self) -> tuple[list[float], list[bool], list[float]]:
        """Hours, deaths and first hours, one a single part."""
        return rows_of(self.lives)

    @property
    def deaths(self) -> int:
        """How many died."""
        return sum(self.rows[1])

    @property
    def watched(self) -> int:
        """How many single parts were watched."""
        return len(self.rows[0])

    @property
    def late(self) -> int:
        """How many brought hours along when the log began to see them."""
        return sum(entry > 0 for entry in self.rows[2])

    @property
    def hours(self) -> float:
        """Hours, shows or days that the log has watched, all parts together."""
        return sum(self.rows[0]) - sum(self.rows[2])

    @cached_property
    def longest(self) -> float:
        """The highest age in the log."""
        return max(self.rows[0], default=0.0)

    # -- what is known -----------------------------------------------------------------------
    @cached_property
    def curve(self) -> SurvivalCurve | None:
        """Kaplan-Meier; None below five deaths."""
        if self.deaths < ENOUGH_DEATHS:
            return None
        hours, failed, entry = self.rows
        return kaplan_meier(hours, failed, entry_hours=entry)

    @cached_property
    def fitted(self) -> WeibullFit | None:
        """The law fitted to five deaths or more; None where they fit none."""
        if self.deaths < ENOUGH_DEATHS:
            return None
        hours, failed, entry = self.rows
        try:
            return fit(hours, failed, entry_hours=entry)
        except LifeError:
            return None

    @cached_property
    def asked_at(self) -> float:
        """The age at which the odds are given: the pull, else the middle of the pulls."""
        pulled = [life.hours for life in self.lives if not life.died and not life.fitted_in]
        return self.pull_at_hours or (median(pulled) if pulled else self.longest)

    @cached_property
    def drawn(self) -> LifeDraws | None:
        """Laws that the log leaves open; None where nothing was watched."""
        if not self.lives:
            return None
        hours, failed, entry = self.rows
        name = seed_from(self.name, self.watched, self.deaths)
        return posterior(
            hours, failed, entry_hours=entry, pull_at_hours=self.asked_at, draws=DRAWS, seed=name
        )

    @property
    def odds(self) -> tuple[float, float] | None:
        """Chance to die before `asked_at`: the middle and the 95 % bound of what is open."""
        if self.drawn is None:
            return None
        dies = -np.expm1(-self.drawn.cumulative_hazard(self.asked_at))
        low, high = np.quantile(dies, (0.5, 0.95))
        return float(low), float(high)

    @property
    def odds_said(self) -> str:
        """The odds in words; with no death an upper bound and nothing more."""
        if self.odds is None:
            return ""
        middle, bound = (100 * chance for chance in self.odds)
        at = f"{self.asked_at:.0f} {self.unit}"
        if not self.deaths:
            return (
                f"None of {self.watched} has died, so only an upper bound can be given: with 95 % "
                f"certainty at most {bound:.1f} in 100 die before {at}."
            )
        return (
            f"About {middle:.1f} in 100 die before {at}, with 95 % certainty at most {bound:.1f}."
        )

    # -- the picture -------------------------------------------------------------------------
    @property
    def plot(self) -> SurvivalPlot | None:
        """Steps, band and law; None where nothing was watched."""
        if not self.lives or self.longest <= 0:
            return None
        return self._of_steps() if self.curve is not None else self._of_draws()

    def _pulls(self) -> list[float]:
        hours, failed, _ = self.rows
        return [age for age, died in zip(hours, failed, strict=True) if not died]

    def _ages(self) -> np.ndarray:
        return np.linspace(0.0, BEYOND * self.longest, POINTS + 1)

    def _of_steps(self) -> SurvivalPlot:
        curve, ages = self.curve, self._ages()
        law = self.fitted.life().survival(ages) if self.fitted else ()
        return survival_plot(
            steps=list(zip(curve.hours, curve.survival, strict=True)),
            band=list(zip(curve.hours, curve.lower, curve.upper, strict=True)),
            law=list(zip(ages, law, strict=True)) if self.fitted else (),
            seen_until=self.longest,
            pulls=self._pulls(),
        )

    def _of_draws(self) -> SurvivalPlot:
        ages = self._ages()
        alive = np.stack([np.exp(-self.drawn.cumulative_hazard(float(age))) for age in ages])
        low, middle, high = np.quantile(alive, (0.025, 0.5, 0.975), axis=1)
        return survival_plot(
            band=list(zip(ages, low, high, strict=True)),
            stepped=False,
            law=list(zip(ages, middle, strict=True)),
            seen_until=self.longest,
            pulls=self._pulls(),
        )

    @property
    def what(self) -> str:
        """The picture in words, for those who do not see it."""
        head = f"{self.name}: {self.watched} watched, {self.deaths} died"
        if self.curve is None:
            return f"{head}; {self.odds_said}"
        steps = ", ".join(
            f"{100 * share:.0f} % alive at {age:g} {self.unit}"
            for age, share in zip(self.curve.hours, self.curve.survival, strict=True)
        )
        return f"{head}; {steps}"

    @property
    def law_said(self) -> str:
        """The fitted law with its intervals."""
        if self.fitted is None:
            return ""
        found = self.fitted
        (low, high), (least, most) = found.shape_interval, found.scale_interval
        return (
            f"Weibull shape {found.shape:.4g} ({low:.2g} to {high:.2g}), "
            f"scale {found.scale_hours:.5g} {self.unit} ({least:.3g} to {most:.3g}), 95 % profile."
        )

    @property
    def steps(self) -> list[tuple[float, float, float, float]]:
        """Rows of the table: age, share alive, 95 % limits."""
        if self.curve is None:
            return []
        rows = (self.curve.hours, self.curve.survival, self.curve.lower, self.curve.upper)
        return list(zip(*(row.tolist() for row in rows), strict=True))


def groups(
    found: dict[str, Sequence[PartLife]], *, pull_at_hours: float | None, unit: str
) -> list[Group]:
    """Groups of lives, by name, as the page shows them."""
    return [Group(name, tuple(own), pull_at_hours, unit) for name, own in found.items()]

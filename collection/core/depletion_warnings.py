"""Reasons to doubt a forecast, in sentences for the page.

The thresholds are house rules: five failures, twenty lives, three years, ten tests, one
future in ten.
"""

import math
from typing import Protocol

from collection.core.depletion_forecast import Depletion
from collection.core.lifetime import LifeDraws


class Evidence(Protocol):
    """What a fit, or draws from a log, tell of the log they came from."""

    @property
    def failures(self) -> int | None: ...

    @property
    def lives(self) -> int | None: ...

    @property
    def longest_hours(self) -> float | None: ...


def warnings(
    depletion: Depletion,
    *,
    fit: Evidence | None = None,
    years_logged: float | None = None,
    tests: int | None = None,
    unit: str = "hours",
) -> tuple[str, ...]:
    """What the figures do not know, most basic first.

    Args:
        depletion: the forecast.
        fit: a fit or draws from the log; draws used in the forecast speak for themselves.
        years_logged: years over which use has been logged.
        tests: how many tests stand behind the share that passes.
        unit: what the clock of these parts counts, as said behind a number.
    """
    if fit is None and isinstance(depletion.asked.life, LifeDraws):
        fit = depletion.asked.life
    return (
        *_of_stock(depletion, tests),
        *_of_lives(depletion, fit, unit),
        *_of_use(depletion, years_logged),
        *_of_pulls(depletion),
    )


def _of_stock(depletion: Depletion, tests: int | None) -> list[str]:
    said = []
    if depletion.asked.stock.units == 0:
        said.append("No spare is left: the years are those to the next demand.")
    if tests is not None and tests < 10:
        said.append(f"The share that passes its test rests on {tests} tests, fewer than ten.")
    return said


def _of_lives(depletion: Depletion, fit: Evidence | None, unit: str) -> list[str]:
    if fit is None or fit.failures is None:
        return ["The law of life is assumed, not taken from the log."]
    said = []
    if fit.failures == 0:
        said.append("No failure is in the log: it says how bad parts can be, not how good.")
    elif fit.failures < 5:
        said.append(f"The law of life rests on {fit.failures} failures, fewer than five.")
    if fit.lives is not None and fit.lives < 20:
        said.append(f"The law of life rests on {fit.lives} lives, fewer than twenty.")
    longest = getattr(fit, "longest_hours", None)
    highest = max(socket.pull_at_hours for socket in depletion.asked.sockets.in_use())
    if longest is not None and highest > longest:
        said.append(
            f"Extrapolated: no part in the log is older than {longest:g} {unit}, and parts are to "
            + ("run until they fail." if math.isinf(highest) else f"stay in for {highest:g}.")
        )
    return said


def _of_use(depletion: Depletion, years_logged: float | None) -> list[str]:
    said = []
    horizon = depletion.asked.years
    if years_logged is not None:
        if years_logged < 3:
            said.append(f"Use has been logged for {years_logged:g} years, fewer than three.")
        ahead = min(depletion.quantile(0.9), horizon)
        if ahead > years_logged:
            said.append(
                f"The forecast looks {ahead:.0f} years ahead from {years_logged:g} years of log."
            )
    if depletion.beyond() > 0.1:
        said.append(
            f"In {100 * depletion.beyond():.0f} of 100 futures the spares last more than "
            f"{horizon} years; no mean can be given."
        )
    return said


def _of_pulls(depletion: Depletion) -> list[str]:
    said = []
    sockets = depletion.asked.sockets.in_use()
    overdue = sum(socket.hours_on >= socket.pull_at_hours for socket in sockets)
    if overdue:
        said.append(f"{overdue} fitted are at their pull age or past it and count as demand now.")
    show = depletion.asked.usage.hours_per_show
    pulls = sorted({s.pull_at_hours for s in sockets if not _is_multiple(s.pull_at_hours, show)})
    said += [
        f"The pull age of {pull:g} hours is no multiple of a show of {show:g} hours: parts are "
        "pulled before or after it."
        for pull in pulls
    ]
    return said


def _is_multiple(pull: float, show: float) -> bool:
    if math.isinf(pull):
        return True
    shows = pull / show
    return abs(shows - round(shows)) < 1e-6 * shows

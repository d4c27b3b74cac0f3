"""Kaplan-Meier: the share of parts still alive, with no law assumed.

Assumptions: what ended a life early (a pull, a loss) has nothing to do with how long it
would still have lived. A tube pulled because it sounded weak breaks that; log it as died.
Source: E. L. Kaplan and P. Meier, Nonparametric Estimation from Incomplete Observations
(1958); M. Greenwood's variance (1926); log-log limits after J. D. Kalbfleisch and R. L.
Prentice, The Statistical Analysis of Failure Time Data (1980), section 1.3.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from collection.core.life_log import LifeLog, life_log
from collection.core.lifetime import Floats

_NORMAL_975 = 1.959963984540054


@dataclass(frozen=True, eq=False)
class SurvivalCurve:
    """Steps of the curve at the hours of death only, all (deaths at different hours,).

    ``standard_error``, ``lower`` and ``upper`` (95 %) are nan where the curve has reached 0:
    no formula for them is defined there.
    """

    hours: Floats
    survival: Floats
    standard_error: Floats
    lower: Floats
    upper: Floats


def kaplan_meier(
    hours: ArrayLike, failed: ArrayLike, *, entry_hours: ArrayLike | None = None
) -> SurvivalCurve:
    """Product-limit estimate with Greenwood errors; empty where nothing has died.

    Args:
        hours, failed, entry_hours: see ``life_log``. At equal hours deaths come before
            pulls; a part counts as at risk after its first hours, up to its last.

    Raises:
        LifeError: the log makes no sense.
    """
    log = life_log(hours, failed, entry_hours)
    at = np.unique(log.hours[log.failed])
    deaths, at_risk = _counts(log, at)
    survival: Floats = np.asarray(np.cumprod(1.0 - deaths / at_risk))
    left = at_risk - deaths
    # Once nobody is left the sum, and with it every later limit, has no value.
    terms = np.divide(deaths, at_risk * left, out=np.full_like(at, np.nan), where=left > 0)
    spread = np.sqrt(np.cumsum(terms))
    alive = ~np.isnan(spread)
    bend = np.full_like(at, np.nan)
    bend[alive] = _NORMAL_975 * spread[alive] / np.log(survival[alive])
    return SurvivalCurve(
        hours=at,
        survival=survival,
        standard_error=np.asarray(survival * spread),
        lower=np.asarray(survival ** np.exp(-bend)),
        upper=np.asarray(survival ** np.exp(bend)),
    )


def _counts(log: LifeLog, at: Floats) -> tuple[Floats, Floats]:
    """Deaths at each hour, and parts that were under watch until then."""
    died = np.sort(log.hours[log.failed])
    deaths = np.searchsorted(died, at, side="right") - np.searchsorted(died, at, side="left")
    entered = np.searchsorted(np.sort(log.entry_hours), at, side="left")
    gone = np.searchsorted(np.sort(log.hours), at, side="left")
    return deaths.astype(np.float64), (entered - gone).astype(np.float64)

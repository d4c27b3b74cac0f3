"""The technician's own log of lives, checked before anything is fitted to it.

Only 'died' is an event. Pulled, still fitted, lost and broken parts are censored: they lived
at least so long. Parts already aged when the log began are left-truncated: that they had
lived until then is why they are in the log at all.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from collection.core.lifetime import Floats, LifeError


@dataclass(frozen=True, eq=False)
class LifeLog:
    """Checked lives: hours at the end, whether it died, hours when the log began; (lives,)."""

    hours: Floats
    failed: NDArray[np.bool_]
    entry_hours: Floats

    @property
    def failures(self) -> int:
        """How many parts died."""
        return int(self.failed.sum())

    @property
    def lives(self) -> int:
        """How many parts were watched."""
        return int(self.hours.size)

    @property
    def longest_hours(self) -> float:
        """The highest age that was seen, in hours."""
        return float(self.hours.max())


def life_log(
    hours: ArrayLike, failed: Sequence[bool] | ArrayLike, entry_hours: ArrayLike | None
) -> LifeLog:
    """Check a log of lives.

    Args:
        hours: (lives,) hours on at death or when last seen.
        failed: (lives,) True where the part died.
        entry_hours: (lives,) hours on when the log began, or None for new parts.

    Raises:
        LifeError: with the number of the first life that makes no sense, counted from 1.
    """
    at = _row(hours, "hours")
    died = _row(failed, "deaths")
    since = np.zeros_like(at) if entry_hours is None else _row(entry_hours, "first hours")
    if not at.size:
        raise LifeError("There is no life in the log.")
    if at.size != died.size or at.size != since.size:
        raise LifeError(
            f"The log has {at.size} hours, {died.size} deaths and {since.size} first hours; "
            "every life needs one of each."
        )
    _refuse(~np.isin(died, (0.0, 1.0)), "has neither died nor not died")
    is_dead = died == 1.0
    _refuse(~np.isfinite(at) | (at < 0), "has no hours that a part can have")
    _refuse(~np.isfinite(since) | (since < 0), "has no first hours that a part can have")
    _refuse(is_dead & (at == 0), "died at zero hours: that is a rejected test, not a life")
    _refuse((since > at) | (is_dead & (since == at)), "ended before the log saw it")
    return LifeLog(at, is_dead, since)


def _row(values: ArrayLike, what: str) -> Floats:
    try:
        row = np.asarray(values, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise LifeError(f"The {what} in the log are not all numbers.") from error
    if row.ndim != 1:
        raise LifeError(f"The {what} in the log are not one row of numbers.")
    return row


def _refuse(wrong: NDArray[np.bool_], because: str) -> None:
    if wrong.any():
        raise LifeError(f"Life {int(np.argmax(wrong)) + 1} in the log {because}.")

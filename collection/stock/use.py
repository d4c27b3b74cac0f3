"""How much is played: shows a year with their spread, hours a show, from the log or as stated."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from collection.core.depletion import DepletionError, Usage
from collection.stock.models import Outlook, PartType
from collection.stock.records import ShowPlayed
from collection.stock.running import mean_hours

DAYS_A_YEAR = 365.25
WHOLE_YEARS = 3  # from here on the log itself says how far years differ
# House rules where the log is too short to say: a stated number holds within about a third,
# a level from less than three years within a half.
STATED_SIZE, SHORT_LOG_SHAPE, STEADY_SIZE = 8.0, 4.0, 10_000.0


@dataclass(frozen=True)
class Use:
    """Use of a type on its clock; `usage` is None where `missing` says what to record."""

    usage: Usage | None
    basis: str
    years_logged: float | None
    shows_logged: int
    missing: tuple[str, ...] = ()


def use_of(
    shows: Sequence[ShowPlayed],
    outlook: Outlook | None,
    *,
    clock: str,
    today: date,
    booked_hours: tuple[float, ...] = (),
    booked_shows: tuple[int, ...] = (),
) -> Use:
    """Use from the log; what somebody has stated goes before it.

    `booked_hours`: hours on a month from now, as planned; empty where nobody says. `booked_shows`:
    planned shows a month, which take the hours of a show as logged or stated.
    """
    if clock == PartType.Clock.DAYS:
        return _by_the_calendar(shows, today)
    rehearsed = sum(show.hours(clock) or 0.0 for show in shows if show.session)
    shows = [show for show in shows if not show.session]
    days = sorted(show.on for show in shows if show.on and show.on <= today)
    years = (today - days[0]).days / DAYS_A_YEAR if days else None
    stated = outlook.shows_per_year if outlook else None
    hours = _stated_hours(outlook, clock) or _a_show(shows, clock, rehearsed)
    booked_hours = booked_hours or tuple(many * (hours or 0.0) for many in booked_shows)
    missing = _missing(days, stated, hours, booked_hours)
    if missing or hours is None:
        return Use(None, "", years, len(days), missing)
    per_year = _per_year(days, today)
    spread = _spread(days, today) if per_year else {}
    said = f"{len(days)} shows in {years or 0:.1f} years of log"
    if stated is not None:
        per_year, spread, said = stated, {"yearly_size": STATED_SIZE}, "shows a year as stated"
    try:
        usage = Usage(per_year, hours, booked_hours=booked_hours, **spread)
    except DepletionError as error:
        return Use(None, "", years, len(days), (str(error),))
    if booked_shows:
        said += f"; first the {sum(booked_shows)} shows that are booked"
    basis = f"{per_year:.3g} shows a year, {hours:.3g} h a show ({said}){_in_words(spread)}."
    return Use(usage, basis, years, len(days))


def _stated_hours(outlook: Outlook | None, clock: str) -> float | None:
    """Hours a show as somebody has stated them; on the clock of shows, a show counts one."""
    if clock == PartType.Clock.SHOWS:
        return 1.0
    return outlook.hours_per_show if outlook else None


def _by_the_calendar(shows: Sequence[ShowPlayed], today: date) -> Use:
    """What ages by the day needs no log of shows, and nobody doubts how many days a year has."""
    days = [show.on for show in shows if show.on and show.on <= today]
    years = (today - min(days)).days / DAYS_A_YEAR if days else None
    usage = Usage(DAYS_A_YEAR, 1.0)
    return Use(usage, "It ages by the day, played or not.", years, len(days))


def _a_show(shows: Sequence[ShowPlayed], clock: str, rehearsed: float) -> float | None:
    """Mean hours a show; what rehearsals and the bench burn besides is shared out among them."""
    mean = mean_hours(shows, clock)
    return None if mean is None else mean + rehearsed / len(shows)


def _missing(
    days: list[date], stated: float | None, hours: float | None, booked: tuple[float, ...]
) -> tuple[str, ...]:
    found = []
    if not days and stated is None and not booked:
        found.append(
            "No use has been logged and nothing is booked. Log a show with the pieces that were "
            "on, or state shows a year under 'What is assumed'."
        )
    if hours is None:
        found.append(
            "No show in the log says how many hours were on. Write the hours down when a show is "
            "logged, or state hours a show under 'What is assumed'."
        )
    return tuple(found)


def _per_year(days: list[date], today: date) -> float:
    """Shows a year; tours come in blocks, so less than a year counts as a year."""
    if not days:
        return 0.0
    return len(days) / max(1.0, (today - days[0]).days / DAYS_A_YEAR)


def _spread(days: list[date], today: date) -> dict[str, float]:
    whole = int((today - days[0]).days / DAYS_A_YEAR) if days else 0
    if whole < WHOLE_YEARS:
        return {"level_shape": SHORT_LOG_SHAPE}
    back = [int((today - day).days / DAYS_A_YEAR) for day in days]
    counts = [back.count(year) for year in range(whole)]
    mean, variance = statistics.mean(counts), statistics.variance(counts)
    return {"yearly_size": mean**2 / (variance - mean) if variance > mean else STEADY_SIZE}


def _in_words(spread: dict[str, float]) -> str:
    if "level_shape" in spread:
        return ", a level known to within about a half since the log is short (house rule)"
    size = spread.get("yearly_size")
    if size is None:
        return ""
    if size == STEADY_SIZE:
        return ", years alike"
    rule = " (house rule)" if size == STATED_SIZE else ""
    return f", years differing by about {100 / size**0.5:.0f} % beside chance{rule}"

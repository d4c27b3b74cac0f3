"""Does it work: what a piece's dated evidence amounts to on a day.

Working is dated evidence and no tick: it ages, and freight, a drop, water, a fault or any work on
the piece ends it. A piece nobody has proved is not a working piece.

Source: how many days a proof counts is a house rule (`transit_rules`); that twenty minutes make
'played hot' is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType
from typing import Final, Literal

from collection.core.state import LEVELS, Level, State
from collection.core.transit_rules import Rules
from collection.core.wording import day

Verdict = Literal["fresh", "unproven", "not-working", "told", "unknown"]
VERDICTS: Final[dict[Verdict, str]] = {
    "fresh": "proven fresh",
    "unproven": "unproven",
    "not-working": "not working",
    "told": "told only",
    "unknown": "not known",
}
FAILED: Final = "failed check"  # what `inspected` writes when it did not work
DAYS: Final[Mapping[Level, int]] = MappingProxyType(
    {
        "powered": Rules().powered_days,
        "played-hot": Rules().played_hot_days,
        "bench-checked": Rules().bench_checked_days,
    }
)


@dataclass(frozen=True)
class Working:
    """A verdict with what it rests on.

    `level` and `on`: the proof that counts longest, when nothing has ended it. `until`: the last
    day on which it counts. `sentence`: the verdict in words, for the day it was asked.
    """

    verdict: Verdict
    sentence: str
    level: Level | None = None
    on: date | None = None
    until: date | None = None


def working(state: State, *, today: date) -> Working:
    """What the evidence amounts to on `today`.

    In this order: a fault that no later proof answers, or a failed check: not working. A proof
    that still counts: fresh, or unproven while a fault is open. An aged proof, or one that
    something ended: unproven. Hearsay alone: told ('does not work' is believed at once).

    >>> working(State(), today=date(2026, 11, 24)).verdict
    'unknown'
    """
    level, on = _best(state)
    if on is None or level is None:
        return _without_proof(state, today=today)
    until = on + timedelta(days=DAYS[level])
    said = f"{level.replace('-', ' ')} {day(on, today=today)}"
    if state.open_faults:
        open_ones = ", ".join(state.open_faults)
        return Working("unproven", f"{said}, but {open_ones} is open", level, on, until)
    if until < today:
        return Working("unproven", f"unproven: {said}, counted until then", level, on, until)
    return Working("fresh", said, level, on, until)


def _best(state: State) -> tuple[Level | None, date | None]:
    """The unvoided proof that counts longest."""
    known = [(level, on) for level in LEVELS if (on := state.latest(level))]
    if not known:
        return None, None
    return max(known, key=lambda found: found[1] + timedelta(days=DAYS[found[0]]))


def _without_proof(state: State, *, today: date) -> Working:
    if state.open_faults:
        return Working("not-working", f"open: {', '.join(state.open_faults)}")
    if state.unproven_because == FAILED:
        return Working("not-working", f"failed a check {_since(state, today=today)}".strip())
    if state.unproven_since is not None:
        since = _since(state, today=today)
        because = f": {state.unproven_because}" if state.unproven_because else ""
        return Working("unproven", f"unproven {since}".strip() + because)
    if state.told_works == "no":
        return Working("not-working", "told that it does not work")
    if state.told_works == "yes":
        return Working("told", "told that it works, level unknown")
    return Working("unknown", "not known")


def _since(state: State, *, today: date) -> str:
    if not state.unproven_since:
        return ""
    return f"since {day(date.fromisoformat(state.unproven_since), today=today)}"

"""A fault's way out: open or intermittent, not reproduced, fixed, proven after n shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from collection.core.wording import day

OPENING: Final = ("open", "intermittent")
WAY: Final = ("open", "not-reproduced", "fixed", "proven")
OUT_BY_WORK: Final = frozenset({"fixed", "proven"})


@dataclass(frozen=True)
class Turn:
    """What became of a fault on a day (ISO, '' unknown): one of WAY, 'intermittent', 'no-fault'."""

    condition: str
    day: str


@dataclass(frozen=True)
class Step:
    """One of the four steps: reached or not, where the fault is now, the days it came there."""

    words: str
    reached: bool
    here: bool
    days: tuple[str, ...]

    @property
    def said(self) -> str:
        """The last two days it came here: 'Sun 15 Nov 2026, Thu 19 Nov 2026'."""
        return ", ".join(day(date.fromisoformat(one), today=None) for one in self.days[-2:])


def way(turns: Sequence[Turn]) -> tuple[Step, ...]:
    """The four steps of a fault's turns, oldest first.

    That nobody could reproduce it stays true whatever comes after; 'fixed' and 'proven' fall when
    the fault is back: it was not fixed.

    >>> [step.reached for step in way([Turn("open", ""), Turn("fixed", ""), Turn("open", "")])]
    [True, False, False, False]
    """
    now = turns[-1].condition if turns else "open"
    back = max((n for n, turn in enumerate(turns) if turn.condition in OPENING), default=0)
    first = "intermittent" if _last_opening(turns) == "intermittent" else "open"
    steps = []
    for place in WAY:
        meant = OPENING if place == "open" else (place,)
        standing = turns[back:] if place in OUT_BY_WORK else turns
        days = tuple(one.day for one in standing if one.condition in meant and one.day)
        reached = place == "open" or any(turn.condition in meant for turn in standing)
        words = first if place == "open" else place.replace("-", " ")
        steps.append(Step(words, reached, now in meant, days))
    return tuple(steps)


def _last_opening(turns: Sequence[Turn]) -> str:
    return next((t.condition for t in reversed(turns) if t.condition in OPENING), "open")


def may_be_proven(condition: str, clean_shows: int, needed: int) -> bool:
    """Whether 'proven' is offered: fixed, and enough shows stayed clean since.

    A fault nobody could reproduce is never offered: nothing was done about it, so shows without
    it prove nothing (domain rule; the number of shows is a house rule of each fault).

    >>> may_be_proven("fixed", 4, 4), may_be_proven("not-reproduced", 9, 4)
    (True, False)
    """
    return condition == "fixed" and clean_shows >= needed

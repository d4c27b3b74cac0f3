"""What a meter says beside what the shows and sessions of a piece add up to."""

from collections.abc import Iterable
from dataclasses import dataclass

from collection.catalogue.models import Piece
from collection.ledger.models import Event
from collection.ledger.queries import when_of
from collection.stock.queries.log import PLAYED, Logged, decimal, logged, runs_of
from collection.stock.records import At, ShowPlayed

CLOCKS = (("heater", "heater"), ("ht", "HT"))


@dataclass(frozen=True)
class Reading:
    """One reading: since the one before, by the meter and by the log; None where it cannot be."""

    event: Event
    clock: str
    said: float | None
    by_meter: float | None
    by_log: float | None

    @property
    def when(self) -> str:
        """The date as the source says it."""
        return when_of(self.event)

    @property
    def differs(self) -> float | None:
        """Hours that the meter has and the log has not."""
        if self.by_meter is None or self.by_log is None:
            return None
        return self.by_meter - self.by_log


@dataclass(frozen=True)
class PieceHours:
    """Hours of a piece on both clocks as logged, and its readings, newest first."""

    logged: tuple[tuple[str, float], ...]
    unknown: int
    readings: tuple[Reading, ...]


def hours_of(piece: Piece) -> PieceHours:
    """Everything the hours page of a piece says; 4 queries."""
    told = logged(piece.collection, (PLAYED, "meter_read"), naming=[piece.code])
    runs = [run for run in runs_of(told, piece.collection) if piece.code in run.pieces]
    return PieceHours(
        tuple((words, _sum(runs, clock)) for clock, words in CLOCKS),
        sum(run.ht is None and not run.session for run in runs),
        tuple(reversed(list(_readings(told, runs)))),
    )


def _readings(told: Iterable[Logged], runs: list[ShowPlayed]) -> Iterable[Reading]:
    before: dict[str, tuple[At, float | None]] = {}
    for one in told:
        facts = one.event.facts
        if one.event.kind != "meter_read":
            continue
        clock, said = facts["clock"], decimal(facts["hours"])
        ended = decimal(facts.get("old_read", "")) if facts.get("replaced") else said
        since = before.get(clock)
        ran = None if since is None or None in (ended, since[1]) else ended - since[1]
        by_log = None if since is None else _sum(runs, clock, since[0], one.at)
        yield Reading(one.event, dict(CLOCKS)[clock], said, ran, by_log)
        before[clock] = (one.at, said)


def _sum(
    runs: Iterable[ShowPlayed], clock: str, after: At | None = None, until: At | None = None
) -> float:
    between = (
        run
        for run in runs
        if (after is None or run.at > after) and (until is None or run.at < until)
    )
    return sum(run.hours(clock) or 0.0 for run in between)

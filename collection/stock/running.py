"""How long a part has run: what its pieces ran while it was fitted, and what it brought.

Nothing here is stored: hours are counted anew from the effective entries, so a corrected show or
a part taken out a day earlier carries them along. Lives, charts and pages all count here.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from collection.stock.models import PartType
from collection.stock.records import At, Fitting, ShowPlayed


@dataclass(frozen=True)
class Ran:
    """Hours of one part on one clock, and where the moves leave it.

    `entry_hours`: what it brought along. `guessed_shows`: shows without hours, taken at the mean
    of the others.
    """

    hours: float
    entry_hours: float
    guessed_shows: int
    died: bool
    since: At | None
    fitted_in: str = ""
    position: str = ""


@dataclass(frozen=True)
class Log:
    """Moves by part and runs, in order of happening."""

    moves: Mapping[str, tuple[Fitting, ...]]
    runs: Sequence[ShowPlayed]

    @classmethod
    def of(cls, moves: Iterable[Fitting], runs: Sequence[ShowPlayed]) -> "Log":
        """The log of moves that stand in order of happening already."""
        found: dict[str, list[Fitting]] = {}
        for move in moves:
            found.setdefault(move.part, []).append(move)
        return cls({part: tuple(own) for part, own in found.items()}, runs)

    def moves_of(self, part: str) -> tuple[Fitting, ...]:
        """Moves of a part; a mate left over from a set has run with its set until then."""
        own = self.moves.get(part, ())
        if own and own[0].mate_of and own[0].mate_of != part:
            with_set = self.moves.get(own[0].mate_of, ())
            return (*(move for move in with_set if move.at < own[0].at), *own)
        return own

    def ran(self, part: str, clock: str) -> Ran | None:
        """Hours of a part on a clock; None when it was never fitted."""
        moves = self.moves_of(part)
        return run_through(moves, self, clock=clock) if moves else None

    def runs_between(self, piece: str, after: At, until: At | None) -> Sequence[ShowPlayed]:
        """What a piece ran between two entries, found without reading the whole log."""
        runs = self._by_piece.get(piece, [])
        ends = len(runs) if until is None else bisect_left(runs, until, key=_moment)
        return runs[bisect_right(runs, after, key=_moment) : ends]

    @cached_property
    def means(self) -> Mapping[str, float | None]:
        """Mean hours of a show on each clock."""
        return {clock: mean_hours(self.runs, clock) for clock in PartType.Clock.values}

    @cached_property
    def _by_piece(self) -> Mapping[str, list[ShowPlayed]]:
        found: dict[str, list[ShowPlayed]] = defaultdict(list)
        for run in sorted(self.runs, key=_moment):
            for piece in run.pieces:
                found[piece].append(run)
        return found


def _moment(run: ShowPlayed) -> At:
    return run.at


def mean_hours(runs: Iterable[ShowPlayed], clock: str) -> float | None:
    """Mean hours of the shows whose hours are known."""
    known = [h for run in runs if not run.session and (h := run.hours(clock)) is not None]
    return sum(known) / len(known) if known else None


def run_through(moves: Sequence[Fitting], log: Log, *, clock: str) -> Ran:
    """The hours of one part from its moves, in order; at least one."""
    entry = _brought(moves, clock)
    hours, guessed, here, counted = entry, 0, None, None
    for move in (*moves, None):
        if here is not None:
            played = log.runs_between(here.piece, counted, move.at if move else None)
            ran, unknown = _added(played, clock, log.means[clock])
            hours, guessed = hours + ran, guessed + unknown
        if move is None:
            break
        if not move.goes_in and clock == PartType.Clock.HT and move.hours is not None:
            hours = max(entry, move.hours)  # somebody knew better than the log
        here, counted = _after(here, move), move.at
    ended = {"died": moves[-1].died and here is None, "since": here.at if here else None}
    where = {"fitted_in": here.piece, "position": here.position} if here else {}
    return Ran(hours, entry, guessed, **ended, **where)


def _brought(moves: Sequence[Fitting], clock: str) -> float:
    """What it brought along: as the first entry says that says anything."""
    if clock == PartType.Clock.SHOWS:
        return 0.0
    into = [move for move in moves if move.goes_in]
    heater = [move.heater for move in into if move.heater is not None]
    if clock == PartType.Clock.HEATER and heater:
        return heater[0]
    # the heater was on whenever the high tension was
    return next((move.hours for move in into if move.hours is not None), 0.0)


def _after(here: Fitting | None, move: Fitting) -> Fitting | None:
    """Where the part is after a move; taken out of a piece that it had left, it stays."""
    if move.goes_in:
        return move
    if move.kind == "removed" and here is not None and here.piece != move.piece:
        return here
    return None


def _added(played: Sequence[ShowPlayed], clock: str, mean: float | None) -> tuple[float, int]:
    """Hours on of what was played, and shows whose hours nobody wrote down."""
    told = [run.hours(clock) for run in played]
    unknown = sum(1 for run, h in zip(played, told, strict=True) if h is None and not run.session)
    return sum(hours for hours in told if hours is not None) + unknown * (mean or 0.0), unknown

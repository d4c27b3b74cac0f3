"""A backup for every show and position of a tour, no spare counted twice at a time.

Model: shows that overlap in time form one moment; in a moment each spare backs up at most
one position, and what plays at a position is nobody's spare. Among all plans the one with
fewest holes is taken, and among those the one with the fewest points. Points of a pair
(house rule): 10,000 a step on the artist's list, 1,000 a rung of closeness beyond the first,
3,000 when it cannot be reached within the accepted outage once it is there, 500 for an
estimate, 100 for stale proof, and one a minute to sound, at most 400.
Once it has come a spare waits patched if it stands patched, else at the side of the stage.
Source: the assignment by scipy.optimize.linear_sum_assignment (D. F. Crouse 2016, On
implementing 2D rectangular assignment algorithms, IEEE Transactions on Aerospace and
Electronic Systems 52, 1679-1696); `tests` compare with every plan there is on small rigs.
Limits: shows chained by overlaps count as one moment although the first and last may not
touch; a spare is free again for the next moment wherever it stood before.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

from collection.core.arrival import Arrivals
from collection.core.backup_gates import piece_gates, site_gates
from collection.core.backup_ranking import rank
from collection.core.backup_records import Candidate, Need
from collection.core.closeness import closeness, fresh_until, listed, proof_days
from collection.core.moment import spoken, utc
from collection.core.rig_records import Assignment, Closer, Position, Show, need_of
from collection.core.transit_rules import Rules

LIST_STEP, RUNG, TOO_FAR, ESTIMATED, STALE, LONGEST = 10_000, 1_000, 3_000, 500, 100, 400
_HOLE = 1_000_000_000.0  # more than all points of any rig, and still exact in a float
_SHUT = 1e15
_SHOWN = 5

Floats = NDArray[np.float64]


def rig_backup(
    shows: Iterable[Show],
    positions: Iterable[Position],
    candidates: Iterable[Candidate],
    rules: Rules,
) -> tuple[Assignment, ...]:
    """Back up every position at every show; shows in order of time, positions as given.

    60 shows of 12 positions with 2,000 candidates take under a second.
    Raises ValueError when one code is among the candidates more than once.
    """
    positions = tuple(positions)
    playing = {position.code for position in positions}
    spares = tuple(c for c in candidates if c.code not in playing)
    _refuse_doubles(spares)
    in_order = sorted(shows, key=lambda show: utc(show.ready_by))
    if not in_order or not positions:
        return ()
    rig = _Rig(positions, spares, rules, in_order[0])
    return tuple(each for moment in _moments(in_order, rules) for each in rig.assign(moment))


def _refuse_doubles(spares: Sequence[Candidate]) -> None:
    counted = Counter(spare.code for spare in spares)
    doubles = sorted(code for code, times in counted.items() if times > 1)
    if doubles:
        raise ValueError(
            f"{', '.join(doubles)} is among the candidates more than once; one piece can only "
            "be in one place, so give it once."
        )


def closers(assignments: Iterable[Assignment]) -> tuple[tuple[str, int], ...]:
    """Codes with the number of holes each would close, most first."""
    counted = Counter(
        code for each in assignments for code in {closer.code for closer in each.closed_by}
    )
    return tuple(sorted(counted.items(), key=lambda pair: (-pair[1], pair[0])))


def _moments(shows: Sequence[Show], rules: Rules) -> list[list[Show]]:
    """Shows in order, chained into one moment while they overlap."""
    moments: list[list[Show]] = []
    end: datetime | None = None
    for show in shows:
        starts = utc(show.ready_by)
        until = utc(show.until) if show.until else starts + timedelta(hours=rules.show_hours)
        if end is not None and starts < end:
            moments[-1].append(show)
            end = max(end, until)
        else:
            moments.append([show])
            end = until
    return moments


class _Rig:
    """Positions and spares with what does not change from show to show."""

    def __init__(
        self,
        positions: tuple[Position, ...],
        spares: tuple[Candidate, ...],
        rules: Rules,
        any_show: Show,
    ) -> None:
        self.positions, self.spares, self.rules = positions, spares, rules
        rows = [self._constant(need_of(any_show, position), position) for position in positions]
        self.constant: Floats = np.array(rows, dtype=np.float64).reshape(len(rows), len(spares))
        self.useful = np.flatnonzero((self.constant < _SHUT).any(axis=0))
        days = proof_days(rules)
        last_days = [fresh_until(spare.evidence, days) or 0 for spare in spares]
        self.fresh = np.array(last_days, dtype=np.int64)

    def _constant(self, need: Need, position: Position) -> list[float]:
        tests = [gate.shut for gate in piece_gates(need)]
        return [
            _SHUT
            if any(shut(spare) for shut in tests)
            else LIST_STEP * listed(need, spare)
            + RUNG * (closeness(need, spare) - 1)
            + TOO_FAR * (not self._reached(spare, position))
            for spare in self.spares
        ]

    def _reached(self, spare: Candidate, position: Position) -> bool:
        if position.outage_minutes is None:
            return True
        patched = spare.stands == "patched"
        minutes = self.rules.patched_seconds / 60 if patched else self.rules.side_minutes
        return minutes <= position.outage_minutes

    def points(self, show: Show) -> Floats:
        """Points of every pair at one show, `_SHUT` where it cannot be: (positions, spares)."""
        here = np.full(len(self.spares), _SHUT)
        tests = [gate.shut for gate in site_gates(need_of(show, self.positions[0]), self.rules)]
        arrivals = Arrivals(show.at, show.now, self.rules)
        now, by = utc(show.now), utc(show.ready_by)
        today = show.now.astimezone(show.at.zone).date().toordinal()
        for index in self.useful:
            spare = self.spares[index]
            if any(shut(spare) for shut in tests):
                continue
            sounds, basis = arrivals.sounding(spare)
            if sounds <= by:
                minutes = min(LONGEST, int((sounds - now).total_seconds() // 60))
                here[index] = minutes + ESTIMATED * (basis == "estimate")
        points: Floats = self.constant + here + STALE * (self.fresh < today)
        return points

    def assign(self, moment: Sequence[Show]) -> list[Assignment]:
        pairs = np.vstack([self.points(show) for show in moment])
        chosen = _choose(pairs)
        places = [(show, position) for show in moment for position in self.positions]
        return [self._answer(row, places, pairs, chosen) for row in range(len(places))]

    def _answer(
        self,
        row: int,
        places: Sequence[tuple[Show, Position]],
        pairs: Floats,
        chosen: dict[int, int],
    ) -> Assignment:
        show, position = places[row]
        mine = chosen.get(row)
        usable = pairs[row] < _SHUT
        if mine is None:
            rivals = [other for other, spare in chosen.items() if usable[spare]]
        else:
            wanting = np.flatnonzero(pairs[:, mine] < _SHUT)
            rivals = [int(other) for other in wanting if int(other) not in chosen]
        held = {places[other][1].name: self.spares[chosen[other]] for other in rivals
                if other in chosen}  # fmt: skip
        return Assignment(
            show=show.name,
            position=position.name,
            backup=None if mine is None else self.spares[mine].code,
            shared_with=tuple(places[other][1].name for other in rivals),
            within_outage=mine is not None and self._reached(self.spares[mine], position),
            _closing=lambda: _closing(need_of(show, position), held, self.spares, self.rules),
            _usable=lambda: tuple(self.spares[at].code for at in np.flatnonzero(usable)),
        )


def _choose(pairs: Floats) -> dict[int, int]:
    """Row to column of the plan with fewest holes, then fewest points."""
    rows = len(pairs)
    costs = np.minimum(pairs, 2 * _HOLE)
    # Every place may also take a hole of its own, dearer than any spare.
    holes = np.full((rows, rows), _HOLE)
    chosen = zip(*linear_sum_assignment(np.hstack([costs, holes])), strict=True)
    return {int(r): int(c) for r, c in chosen if c < pairs.shape[1] and pairs[r, c] < _SHUT}


def _closing(
    need: Need, held: dict[str, Candidate], spares: Sequence[Candidate], rules: Rules
) -> tuple[Closer, ...]:
    """A second one of what a rival holds, then what is late, then what one gate keeps out."""
    found = [
        Closer(spare.code, f"A second one like it: it backs up position {name}.", "second")
        for name, spare in held.items()
    ]
    ranking = rank(need, [spare for spare in spares if spare.kind == need.kind], rules)
    found += [
        Closer(option.code, f"It would come {spoken(-option.margin)} late.", "late")
        for option in ranking.options
        if not option.in_time
    ]
    asked = ranking.question.gates
    found += [
        Closer(out.code, out.reasons[0], next(g.name for g in asked if g.shut(out.candidate)))
        for out in ranking.ruled_out()
        if len(out.reasons) == 1
    ]
    return tuple(found[:_SHOWN])

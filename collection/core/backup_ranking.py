"""The order of the backups for one need, and why the rest is out.

In time comes first: by the artist's list (accepted, emergency, not named), closeness,
anything before an estimate, time to sound, freshness of the proof. Then the late ones, by how
much. Then what is ruled out, with every reason. Last of all the code decides, so that the
same facts always give the same order.
In time means: sounding by `ready_by`, or within the accepted outage from `now` when that is
later (the failure is in the song).
Cost: gates first, one plan for each distinct place; legs and reasons are made when read.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, overload

from collection.core.arrival import Arrivals
from collection.core.backup_gates import Gate, gates, reasons
from collection.core.backup_records import Candidate, Need
from collection.core.closeness import closeness, fresh_until, listed, proof_days
from collection.core.moment import utc
from collection.core.transit import Leg
from collection.core.transit_rules import Rules


@dataclass(frozen=True, slots=True, kw_only=True)
class _Question:
    """What all answers of one ranking share."""

    need: Need
    rules: Rules
    gates: tuple[Gate, ...]
    arrivals: Arrivals
    deadline: datetime
    today: int
    days: dict[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Answer:
    """A candidate with its way to the place of the need."""

    candidate: Candidate
    question: _Question = field(repr=False, compare=False)

    @property
    def code(self) -> str:
        return self.candidate.code

    @property
    def stands(self) -> str:
        return self.candidate.stands

    @property
    def legs(self) -> tuple[Leg, ...]:
        """The legs in local times, laid out when asked for."""
        return self.question.arrivals.legs(self.candidate)


@dataclass(frozen=True, slots=True, kw_only=True)
class Option(_Answer):
    """A candidate that may stand in: `rank` from 1, `closeness` 1 to 6, `listed` 0 to 2.

    `days_fresh`: days until the best proof has aged out, negative when it has, None when the
    only proof is a confirmation by a call.
    """

    rank: int
    closeness: int
    listed: int
    basis: str
    sounds: datetime
    days_fresh: int | None

    @property
    def sounds_at(self) -> datetime:
        """When it could sound, in the time of the place of the need."""
        return self.sounds.astimezone(self.question.need.at.zone)

    @property
    def margin(self) -> timedelta:
        """Time to spare; below zero when it is late."""
        return self.question.deadline - self.sounds

    @property
    def in_time(self) -> bool:
        return self.sounds <= self.question.deadline

    @property
    def stale(self) -> bool:
        """True when the proof has aged out or rests on a call alone."""
        return self.days_fresh is None or self.days_fresh < 0


@dataclass(frozen=True, slots=True, kw_only=True)
class RuledOut(_Answer):
    """A candidate that may not stand in, with every reason as a sentence."""

    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranking:
    """The answer to a need: `options` best first, made as they are read; the rest on demand."""

    options: Sequence[Option]
    question: _Question = field(repr=False)
    shut_out: tuple[Candidate, ...] = field(repr=False)

    def ruled_out(self) -> tuple[RuledOut, ...]:
        """What may not stand in, fewest reasons first, then closest, then by code."""
        need, asked = self.question.need, self.question.gates
        found = [
            RuledOut(candidate=candidate, question=self.question, reasons=reasons(candidate, asked))
            for candidate in self.shut_out
        ]
        return tuple(
            sorted(found, key=lambda r: (len(r.reasons), closeness(need, r.candidate), r.code))
        )


_Row = tuple[Any, ...]  # flat, since each object made here is weighed a hundred thousand times
_NEVER = -(10**7)  # fewer days left than any calendar can say


def deadline(need: Need) -> datetime:
    """The instant (UTC) by which a backup must sound."""
    if need.outage_minutes is None:
        return utc(need.ready_by)
    return max(utc(need.ready_by), utc(need.now) + timedelta(minutes=need.outage_minutes))


def rank(need: Need, candidates: Iterable[Candidate], rules: Rules) -> Ranking:
    """Put every candidate in its place for a need; none is left out of the answer.

    100,000 candidates at 500 places take some tenths of a second.
    """
    question = _Question(
        need=need,
        rules=rules,
        gates=gates(need, rules),
        arrivals=Arrivals(need.at, need.now, rules),
        deadline=deadline(need),
        today=need.now.astimezone(need.at.zone).toordinal(),
        days=proof_days(rules),
    )
    passed, shut_out = _sieve(candidates, question.gates)
    rows = sorted(_row(place, candidate, question) for place, candidate in enumerate(passed))
    return Ranking(options=_Options(rows, question), question=question, shut_out=tuple(shut_out))


def _sieve(
    candidates: Iterable[Candidate], asked: tuple[Gate, ...]
) -> tuple[list[Candidate], list[Candidate]]:
    tests = [gate.shut for gate in asked]
    passed: list[Candidate] = []
    shut_out: list[Candidate] = []
    for candidate in candidates:
        for shut in tests:
            if shut(candidate):
                shut_out.append(candidate)
                break
        else:
            passed.append(candidate)
    return passed, shut_out


def _row(place: int, candidate: Candidate, question: _Question) -> _Row:
    """A sort key that ends with what an option is made of."""
    need = question.need
    sounds, basis = question.arrivals.sounding(candidate)
    on_list, rung = listed(need, candidate), closeness(need, candidate)
    until = fresh_until(candidate.evidence, question.days)
    left = _NEVER if until is None else until - question.today
    guessed = basis == "estimate"
    # The place among the candidates keeps two equal codes from comparing what follows it.
    tail = (-left, candidate.code, place, candidate, on_list, rung, basis, sounds, left)
    if sounds <= question.deadline:
        return (0, on_list, rung, guessed, sounds, *tail)
    return (1, sounds, on_list, rung, guessed, *tail)


class _Options(Sequence[Option]):
    """The options in order, each made when it is looked at: a page shows a few of many."""

    def __init__(self, rows: list[_Row], question: _Question) -> None:
        self._rows = rows
        self._question = question

    def __len__(self) -> int:
        return len(self._rows)

    @overload
    def __getitem__(self, index: int) -> Option: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[Option, ...]: ...
    def __getitem__(self, index: int | slice) -> Option | tuple[Option, ...]:
        places = range(len(self._rows))[index]
        if isinstance(places, int):
            return self._option(places)
        return tuple(self._option(place) for place in places)

    def __eq__(self, other: object) -> bool:
        return self[:] == tuple(other) if isinstance(other, Sequence) else NotImplemented

    def __hash__(self) -> int:
        return hash(self[:])

    def __repr__(self) -> str:
        return repr(self[:])

    def _option(self, place: int) -> Option:
        candidate, on_list, rung, basis, sounds, left = self._rows[place][-6:]
        return Option(
            candidate=candidate,
            question=self._question,
            rank=place + 1,
            closeness=rung,
            listed=on_list,
            basis=basis,
            sounds=sounds,
            days_fresh=None if left == _NEVER else left,
        )

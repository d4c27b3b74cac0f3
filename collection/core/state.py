"""What the book says of one thing at the end of its history.

A state is derived: it is the fold of the effective entries that name the thing, in order of
happening (`core.fold`). It never ages by itself; readers compare its dates with today.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any, Literal

Level = Literal["powered", "played-hot", "bench-checked"]
LEVELS: tuple[Level, ...] = ("powered", "played-hot", "bench-checked")
KEPT_PROOFS = 24  # enough for a page; the whole history stays in the book


@dataclass(frozen=True)
class Proof:
    """Dated evidence that a piece worked; `voided` says what ended it."""

    level: Level
    on: str
    entry: int
    what: str = ""
    voided: str = ""
    voided_by: int | None = None


@dataclass(frozen=True)
class Seen:
    """Who saw it last, where and when (microseconds since 0001-01-01, UTC)."""

    at_us: int
    by: str
    place: str
    source: str
    entry: int


@dataclass(frozen=True)
class Tag:
    """DO NOT POWER: why, the check that lifts it, who hung it."""

    reason: str
    check: str
    by: str
    entry: int
    proposed: bool = False


@dataclass(frozen=True)
class Gate:
    """One gate of a recovery: answered, or 'does not apply' with a reason."""

    name: str
    answer: Literal["answered", "not-apply"]
    because: str
    by: str
    entry: int


@dataclass(frozen=True)
class State:
    """State of a piece, part, lot, fault, place or question; unused fields stay at rest."""

    # custody
    standing: str = "held"
    place: str | None = None
    holder: str | None = None
    owner: str | None = None
    seen: Seen | None = None
    incident: str | None = None
    gates: tuple[Gate, ...] = ()
    # bench
    tag: Tag | None = None
    proofs: tuple[Proof, ...] = ()
    unproven_since: str | None = None
    unproven_because: str = ""
    told_works: str = ""
    told_on: str = ""
    faults: tuple[tuple[str, str], ...] = ()
    safety_passed_on: str | None = None
    serviced: tuple[tuple[str, str], ...] = ()
    # stock: counts of a lot by bucket, e.g. ('sealed', 40), ('tested:V1', 3), ('fitted', 6)
    counts: tuple[tuple[str, int], ...] = ()
    # part or set: where it is fitted and what it brought along
    fitted_in: str | None = None
    position: str | None = None
    grade: str | None = None
    hours_before: str = "0"
    set_of: str | None = None  # the matched set that a single tube belongs to
    # piece: (part, position) of what the book has in it; (clock, reading) of its hour meters
    fitted: tuple[tuple[str, str], ...] = ()
    meters: tuple[tuple[str, str], ...] = ()
    # fault and question
    condition: str = ""
    clean_shows: int = 0
    # the last entry that changed anything
    last: int | None = None

    def now(self, **changes: Any) -> State:
        """The state with changes; reads better than `replace` in the kinds."""
        return replace(self, **changes)

    def count(self, bucket: str) -> int:
        """Units of a lot in a bucket, 0 when none."""
        return dict(self.counts).get(bucket, 0)

    def shifted(self, changes: Mapping[str, int]) -> State:
        """A lot's counts after adding signed changes; a bucket may go below zero (unexplained)."""
        counts = dict(self.counts)
        for bucket, change in changes.items():
            counts[bucket] = counts.get(bucket, 0) + change
        return replace(self, counts=tuple(sorted((k, v) for k, v in counts.items() if v)))

    def proved(self, proof: Proof) -> State:
        """The state after new evidence that the piece works."""
        return replace(
            self,
            proofs=(proof, *self.proofs)[:KEPT_PROOFS],
            unproven_since=None,
            unproven_because="",
        )

    def unproved(self, on: str, because: str, entry: int) -> State:
        """The state after something that ends all earlier evidence."""
        struck = tuple(
            p if p.voided else replace(p, voided=because, voided_by=entry) for p in self.proofs
        )
        return replace(self, proofs=struck, unproven_since=on, unproven_because=because)

    def latest(self, level: Level) -> date | None:
        """The newest day of evidence of a level that nothing has ended."""
        days = [p.on for p in self.proofs if p.level == level and not p.voided]
        return date.fromisoformat(max(days)) if days else None

    def with_fault(self, code: str, condition: str) -> State:
        """The piece's faults with one set to a condition."""
        faults = dict(self.faults)
        faults[code] = condition
        return replace(self, faults=tuple(sorted(faults.items())))

    def with_part(self, part: str, position: str) -> State:
        """The piece with a part in a position; a part is in one position only."""
        return replace(self, fitted=tuple(sorted((dict(self.fitted) | {part: position}).items())))

    def without_part(self, part: str) -> State:
        """The piece without a part."""
        return replace(self, fitted=tuple(pair for pair in self.fitted if pair[0] != part))

    @property
    def open_faults(self) -> tuple[str, ...]:
        """Codes of faults that still speak against the piece."""
        return tuple(c for c, s in self.faults if s in OPEN_CONDITIONS)


OPEN_CONDITIONS = frozenset({"open", "intermittent", "not-reproduced"})
_NESTED: dict[str, type] = {"seen": Seen, "tag": Tag}
_NESTED_LISTS: dict[str, type] = {"gates": Gate, "proofs": Proof}
_PAIRS = ("faults", "serviced", "counts", "fitted", "meters")


def to_json(state: State) -> dict[str, Any]:
    """JSON of what differs from the state at rest."""
    found: dict[str, Any] = {}
    for field in fields(State):
        value = getattr(state, field.name)
        if value == field.default:
            continue
        if field.name in _NESTED:
            value = vars(value)
        elif field.name in _NESTED_LISTS:
            value = [vars(item) for item in value]
        elif field.name in _PAIRS:
            value = [list(pair) for pair in value]
        found[field.name] = value
    return found


def from_json(found: Mapping[str, Any]) -> State:
    """The state again; the inverse of `to_json`."""
    values: dict[str, Any] = {}
    for name, value in found.items():
        if name in _NESTED:
            value = _NESTED[name](**value)
        elif name in _NESTED_LISTS:
            value = tuple(_NESTED_LISTS[name](**item) for item in value)
        elif name in _PAIRS:
            value = tuple(tuple(pair) for pair in value)
        values[name] = value
    return State(**values)

"""Reading faults: what is open, what waits for proof, and the way of each."""

import secrets
from dataclasses import dataclass, field

from django.db.models import QuerySet

from collection.bench.models import Fault
from collection.core.fault_way import Step, Turn, may_be_proven, way
from collection.core.state import OPEN_CONDITIONS, State, from_json
from collection.ledger.lines import Line
from collection.ledger.queries import life_line
from registry.access.models import Collection

GLYPHS = {"open": "open", "intermittent": "open", "not-reproduced": "open",
          "fixed": "wait", "proven": "ok", "no-fault": "void"}  # fmt: skip
HISTORY = 200
SETTLED_SHOWN = 40


@dataclass(frozen=True)
class FaultLine:
    """A fault as it stands now; `once` for its presses."""

    fault: Fault
    once: str = field(default_factory=lambda: secrets.token_hex(16))

    @property
    def state(self) -> State:
        """What the book says of the fault."""
        row = getattr(self.fault.subject, "state", None)
        return from_json(row.detail) if row else State(condition="open")

    @property
    def words(self) -> str:
        """Its condition in words."""
        return self.state.condition.replace("-", " ")

    @property
    def glyph(self) -> str:
        """The glyph of its condition."""
        return GLYPHS.get(self.state.condition, "open")

    @property
    def open(self) -> bool:
        """Whether it speaks against its piece."""
        return self.state.condition in OPEN_CONDITIONS

    @property
    def clean(self) -> int:
        """Shows logged without it since it was settled."""
        return self.state.clean_shows

    @property
    def ready(self) -> bool:
        """Whether it may be written as proven."""
        needed = self.fault.proven_after_shows
        return may_be_proven(self.state.condition, self.clean, needed)


@dataclass(frozen=True)
class Board:
    """All faults in three groups."""

    open: list[FaultLine]
    waiting: list[FaultLine]
    settled: list[FaultLine]


@dataclass(frozen=True)
class FaultPage:
    """One fault with its way and its history, newest first."""

    line: FaultLine
    way: tuple[Step, ...]
    lines: list[Line]


def faults(collection: Collection) -> QuerySet[Fault]:
    """Faults with piece and state; 1 query."""
    return Fault.objects.of(collection).select_related(
        "piece__design", "piece__subject__state", "subject__state", "collection"
    )


def board(collection: Collection) -> Board:
    """Every fault: open first, then those waiting for proof, the readiest first."""
    lines = [FaultLine(fault) for fault in faults(collection).order_by("piece__code", "code")]
    waiting = [one for one in lines if one.state.condition == "fixed"]
    waiting.sort(key=lambda one: one.clean - one.fault.proven_after_shows, reverse=True)
    settled = [one for one in lines if not one.open and one.state.condition != "fixed"]
    settled.sort(key=lambda one: one.fault.opened_at, reverse=True)
    return Board([one for one in lines if one.open], waiting, settled[:SETTLED_SHOWN])


def page_of(fault: Fault) -> FaultPage:
    """One fault: where it stands on its way and everything said of it."""
    lines = life_line(fault.subject, limit=HISTORY)
    turns = [turn for line in reversed(lines) if (turn := _turn(line))]
    told = [line for line in lines if line.event.kind != "played"]
    return FaultPage(FaultLine(fault), way(turns), told)


def _turn(line: Line) -> Turn | None:
    facts = line.event.facts
    said = {
        "faulted": "intermittent" if facts.get("intermittent") else "open",
        "fault_settled": facts.get("outcome", ""),
        "repaired": "fixed",
    }
    condition = said.get(line.event.kind)
    return Turn(condition, line.day) if condition else None

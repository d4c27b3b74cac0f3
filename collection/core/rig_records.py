"""The shows and positions of a rig plan, and what the plan answers for each."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from collection.core.backup_records import Need
from collection.core.distance import Site
from collection.core.moment import require_aware


@dataclass(frozen=True, slots=True, kw_only=True)
class Show:
    """A show: where, from when on a spare may be sent for it, and by when it must sound.

    `until`: the end; without it a show lasts `Rules.show_hours` from `ready_by`.
    """

    name: str
    at: Site
    now: datetime
    ready_by: datetime
    until: datetime | None = None
    mains_volts: float | None = None
    mains_hz: float | None = None

    def __post_init__(self) -> None:
        require_aware(self.now, f"The time from which spares are sent for {self.name}")
        require_aware(self.ready_by, f"The time {self.name} must be ready by")
        if self.until is not None:
            require_aware(self.until, f"The end of {self.name}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A place on the stage: `code` is the piece that plays there; the rest as in `Need`."""

    name: str
    kind: str
    design: str
    circuit: str
    code: str | None = None
    outage_minutes: float | None = None
    accepted: tuple[str, ...] = ()
    emergency: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    close_circuits: frozenset[str] = frozenset()
    load_ohms: float | None = None
    traits: frozenset[str] = frozenset()
    family: str = ""


class Closer(NamedTuple):
    """A piece that would close a hole, what has to change for it, and which change that is.

    `how`: 'second' (another one like it), 'late' (sooner on its way), else the name of the
    one gate that keeps it out (see `backup_gates`).
    """

    code: str
    because: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Assignment:
    """What backs up one position at one show: a code, or None for a hole.

    `shared_with`: the other positions of the moment that want the same spare, of which one
    goes without. For a hole: the positions that hold a spare it could use.
    `within_outage`: reachable within the outage the artist accepts, once it has come.
    """

    show: str
    position: str
    backup: str | None
    shared_with: tuple[str, ...] = ()
    within_outage: bool = False
    _closing: Callable[[], tuple[Closer, ...]] = field(repr=False, compare=False)
    _usable: Callable[[], tuple[str, ...]] = field(repr=False, compare=False)

    @property
    def usable(self) -> tuple[str, ...]:
        """Codes of every spare that could stand in here in time; worked out when asked."""
        return self._usable()

    @property
    def closed_by(self) -> tuple[Closer, ...]:
        """For a hole, what would close it, the least change first; worked out when asked."""
        return () if self.backup is not None else self._closing()


def need_of(show: Show, position: Position) -> Need:
    """The need that arises when a position fails at a show."""
    return Need(
        kind=position.kind,
        design=position.design,
        circuit=position.circuit,
        at=show.at,
        ready_by=show.ready_by,
        now=show.now,
        code=position.code,
        accepted=position.accepted,
        emergency=position.emergency,
        never=position.never,
        close_circuits=position.close_circuits,
        mains_volts=show.mains_volts,
        mains_hz=show.mains_hz,
        load_ohms=position.load_ohms,
        traits=position.traits,
        family=position.family,
    )

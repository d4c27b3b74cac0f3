"""What is asked of a backup and what is known of each piece that might be one."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from collection.core.distance import Site
from collection.core.moment import require_aware
from collection.core.transit import Quote

Level = Literal["powered", "played-hot", "bench-checked"]
Stand = Literal["patched", "side", "truck", "town", "away"]

LEVELS = ("powered", "played-hot", "bench-checked")
STANDS = ("patched", "side", "truck", "town", "away")
_STANDS = frozenset(STANDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One day on which a piece was seen to work, and how well it was looked at.

    `voided_by` names what broke the proof since: freight, a drop, a refit, water.
    Raises ValueError for an unknown level.
    """

    level: Level
    on: date
    voided_by: str | None = None

    def __post_init__(self) -> None:
        if self.level not in LEVELS:
            raise ValueError(f"{self.level!r} is no evidence; take one of {', '.join(LEVELS)}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What has to sound where and by when; `code` is the failed piece, if one failed.

    `accepted`, `emergency`, `never`: the artist's list for the position, of codes or designs.
    `outage_minutes`: the silence the artist accepts. It counts from `now`, so it matters
    when the failure is in the song and `ready_by` has come.
    `mains_volts`, `mains_hz`: the supply at the site; `load_ohms`: the load at the position;
    `traits`: words the backup must have (connectors, tuning, handedness). None: no matter.
    `family`: of an instrument (reed organ, lap steel); only the artist's list crosses it.
    Raises ValueError when a time names no zone or the outage is below nothing.
    """

    kind: str
    design: str
    circuit: str
    at: Site
    ready_by: datetime
    now: datetime
    code: str | None = None
    outage_minutes: float | None = None
    accepted: tuple[str, ...] = ()
    emergency: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    close_circuits: frozenset[str] = frozenset()
    mains_volts: float | None = None
    mains_hz: float | None = None
    load_ohms: float | None = None
    traits: frozenset[str] = frozenset()
    family: str = ""

    def __post_init__(self) -> None:
        require_aware(self.ready_by, "The time to be ready by")
        require_aware(self.now, "The present time")
        if self.outage_minutes is not None and not self.outage_minutes >= 0:
            raise ValueError(f"An outage of {self.outage_minutes} minutes cannot be accepted.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A piece that might stand in, at one site, free from a moment on.

    `stands`: patched (and warm), at the side of the stage, in the truck at the venue, in
    town, or away; a truck still on the road is 'away', at the site where it is now.
    `barred`: reasons that come from the book, as words ('stolen', 'tagged out', 'lent') or
    whole sentences. `load_ohms`: the load it drives, or all of them when it has taps.
    `on_the_way`: the carrier's word for when it arrives at `site`; until then it is nowhere.
    `mains_hz`: only for what depends on it, such as a synchronous motor. None: no matter.
    Raises ValueError when `free_from` names no zone or `stands` is unknown.
    """

    code: str
    kind: str
    design: str
    circuit: str
    site: Site
    stands: Stand
    free_from: datetime
    evidence: tuple[Evidence, ...] = ()
    twin_of: str | None = None
    barred: tuple[str, ...] = ()
    on_carnet: bool = False
    mains_volts: float | None = None
    mains_hz: float | None = None
    load_ohms: float | tuple[float, ...] | None = None
    traits: frozenset[str] = frozenset()
    quotes: tuple[Quote, ...] = ()
    family: str = ""
    on_the_way: Quote | None = None

    def __post_init__(self) -> None:
        # A hundred thousand of these are built for one ranking: only what would mislead.
        if self.free_from.tzinfo is None:
            require_aware(self.free_from, f"The time from which {self.code} is free")
        if self.stands not in _STANDS:
            raise ValueError(
                f"{self.code} stands {self.stands!r}; it must be one of {', '.join(STANDS)}."
            )

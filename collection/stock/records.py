"""What the stock's queries bring back: plain records, free of the database."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from collection.catalogue.models import Position
from collection.core.state import State
from collection.stock.models import Lot, Outlook, Part, PartType, PullChoice

At = tuple[int, int]  # place in the order of happening: microseconds, entry number


@dataclass(frozen=True)
class LotCount:
    """A lot and how many of its units are in each bucket; sets where it is counted in sets."""

    lot: Lot
    counts: Mapping[str, int]

    @property
    def tubes(self) -> int:
        """Single parts in one counted unit."""
        return self.lot.type.set_size if self.lot.in_sets else 1


@dataclass(frozen=True)
class PartAt:
    """A part with a code and what the book says of it."""

    part: Part
    state: State

    @property
    def tubes(self) -> int:
        """Single parts in it: a set fails at its first failure."""
        in_sets = self.part.lot is not None and self.part.lot.in_sets
        return self.part.units * (self.part.type.set_size if in_sets else 1)


@dataclass(frozen=True)
class Home:
    """A piece that a part can be fitted in, with the positions of its circuit."""

    code: str
    called: str
    standing: str
    tagged_out: bool
    positions: tuple[Position, ...]
    kin: str = ""  # its design, else its circuit: pieces alike have the same

    @property
    def away(self) -> str:
        """Why it uses nothing up at present; '' when it may be played."""
        if self.standing != "held":
            return self.standing.replace("_", " ")
        return "tagged out" if self.tagged_out else ""


@dataclass(frozen=True)
class Fitting:
    """One entry that fitted a part or took it out; hours are HT hours, None when unknown.

    `heater`: heater hours it brought along. `to`: what became of it. `mate_of`: the set that it
    is left over from.
    """

    kind: str
    part: str
    piece: str
    position: str
    hours: float | None
    at: At
    heater: float | None = None
    to: str = ""
    mate_of: str = ""
    number: int = -1
    certainty: str = "certain"

    @property
    def goes_in(self) -> bool:
        """Whether the part sits in a piece after it."""
        return self.kind in {"issued", "fitted"}

    @property
    def died(self) -> bool:
        """Whether the part failed."""
        return self.kind == "died_in_use" or (self.kind == "removed" and self.to == "dead")


@dataclass(frozen=True)
class TestRun:
    """One run on the tester: units good for each grade, units failed."""

    __test__ = False  # not a test, whatever its name begins with

    lot: str
    passed: Mapping[str, int]
    failed: int


@dataclass(frozen=True)
class ShowPlayed:
    """A show of the log: its day, hours on, and the pieces that were on stage.

    `session`: '' for a show, else what it was: a rehearsal, a bench session, left on.
    """

    at: At
    on: date | None
    heater: float | None
    ht: float | None
    pieces: frozenset[str]
    session: str = ""

    def hours(self, clock: str) -> float | None:
        """Hours on a type's clock; a show counts one on the clock that counts shows."""
        if clock == PartType.Clock.SHOWS:
            return 0.0 if self.session else 1.0
        return self.heater if clock == PartType.Clock.HEATER else self.ht


@dataclass(frozen=True)
class Shelf:
    """Everything the stock pages are made of."""

    types: tuple[PartType, ...]
    lots: tuple[LotCount, ...]
    parts: tuple[PartAt, ...]
    homes: tuple[Home, ...]
    fittings: tuple[Fitting, ...]
    tests: tuple[TestRun, ...]
    shows: tuple[ShowPlayed, ...]
    choices: tuple[PullChoice, ...]
    outlooks: tuple[Outlook, ...]

    def stocks(self) -> list["TypeStock"]:
        """One stock a type; exact equivalents are one stock."""
        seen: set[str] = set()
        found = []
        for kind in self.types:
            if kind.code not in seen:
                alike = self._alike(kind)
                seen |= {one.code for one in alike}
                found.append(TypeStock(self, alike))
        return found

    def stock(self, code: str) -> "TypeStock | None":
        """The stock that a type belongs to."""
        named = (one for one in self.stocks() if code in one.codes)
        return next(named, None)

    def _alike(self, kind: PartType) -> tuple[PartType, ...]:
        codes, before = {kind.code, *kind.same_as}, set[str]()
        while codes != before:
            before = set(codes)
            for other in self.types:
                if codes & {other.code, *other.same_as}:
                    codes |= {other.code, *other.same_as}
        return tuple(other for other in self.types if other.code in codes)


@dataclass(frozen=True)
class TypeStock:
    """One stock: a type and its exact equivalents, which are one stock."""

    shelf: Shelf
    types: tuple[PartType, ...]

    @cached_property
    def lots(self) -> tuple[LotCount, ...]:
        """Lots of the type and its equivalents."""
        keys = {kind.pk for kind in self.types}
        return tuple(lot for lot in self.shelf.lots if lot.lot.type_id in keys)

    @cached_property
    def parts(self) -> tuple[PartAt, ...]:
        """Parts with a code of the type and its equivalents."""
        keys = {kind.pk for kind in self.types}
        return tuple(part for part in self.shelf.parts if part.part.type_id in keys)

    @cached_property
    def lead(self) -> PartType:
        """The type that gives the stock its name: the one with most lots, the first of equals."""
        held = [lot.lot.type_id for lot in self.lots]
        return max(self.types, key=lambda kind: held.count(kind.pk))

    @property
    def name(self) -> str:
        """What the stock is called."""
        return self.lead.code

    @property
    def codes(self) -> frozenset[str]:
        """Codes of the types in it and of equivalents that have no row of their own."""
        return frozenset(code for kind in self.types for code in (kind.code, *kind.same_as))

    @property
    def also(self) -> tuple[str, ...]:
        """The other names of the same thing."""
        return tuple(sorted(self.codes - {self.name}))

    @property
    def tests(self) -> tuple[TestRun, ...]:
        """Runs on the tester."""
        codes = {lot.lot.code for lot in self.lots}
        return tuple(run for run in self.shelf.tests if run.lot in codes)

    @property
    def choice(self) -> PullChoice | None:
        """The newest choice of when to pull, for any of its names."""
        keys = {kind.pk for kind in self.types}
        return next((c for c in self.shelf.choices if c.type_id in keys), None)

    @property
    def outlook(self) -> Outlook | None:
        """What is assumed beyond the log."""
        keys = {kind.pk for kind in self.types}
        return next((o for o in self.shelf.outlooks if o.type_id in keys), None)

    @property
    def outlook_type(self) -> PartType:
        """The type that assumptions of this stock are stored with."""
        return self.outlook.type if self.outlook else self.lead

    # -- counts ------------------------------------------------------------------------------
    def tubes(self) -> dict[str, int]:
        """Single parts by bucket, over all lots."""
        total: dict[str, int] = {}
        for lot in self.lots:
            for bucket, units in lot.counts.items():
                total[bucket] = total.get(bucket, 0) + units * lot.tubes
        return total

    def units(self, *buckets: str) -> int:
        """Units in the buckets named: sets where the type is used in sets, else single parts.

        Singles of a type that is used in sets count as the sets they could make, since nobody
        has matched them yet.
        """
        size = self.lead.set_size
        held = [(lot, max(0, lot.counts.get(bucket, 0))) for lot in self.lots for bucket in buckets]
        whole = sum(n for lot, n in held if lot.lot.in_sets or size == 1)
        loose = sum(n for lot, n in held if not (lot.lot.in_sets or size == 1))
        return whole + loose // size

    @property
    def has_loose(self) -> bool:
        """Whether units of a type used in sets are counted singly."""
        return self.lead.set_size > 1 and any(not lot.lot.in_sets for lot in self.lots)

    @property
    def buckets(self) -> tuple[str, ...]:
        """Every bucket that holds or held something."""
        return tuple(sorted({bucket for lot in self.lots for bucket in lot.counts}))

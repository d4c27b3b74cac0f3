"""A policy with its lines on a day: what is covered, worth how much, in which truck or place."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from collection.catalogue.models import Piece
from collection.core import insurance
from collection.core.insurance import Load
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts
from collection.papers.insurance import values
from collection.papers.insurance.models import Insured, Policy
from collection.papers.insurance.standing import Stood
from collection.papers.insurance.values import Value


@dataclass(frozen=True)
class Line:
    """A piece of a schedule: its value, whose it is, where it stands."""

    row: Insured
    value: Value | None
    stood: Stood
    owner: str
    today: date

    @property
    def piece(self) -> Piece:
        return self.row.piece

    @property
    def findings(self) -> list[str]:
        """What somebody should look at, in words."""
        policy, value, found = self.row.policy, self.value, []
        if self.stood.gone:
            found.append(f"insured, yet {self.stood.standing.replace('_', ' ')}")
        if value is None:
            return [*found, "not valued"]
        if value.old(self.today):
            found.append("value older than 3 years" if value.on else "value without a day")
        if value.currency != policy.currency:
            return [*found, f"valued in {value.currency}, the policy is in {policy.currency}"]
        if policy.per_item_minor is not None and value.minor > policy.per_item_minor:
            found.append("above the limit for one piece")
        if policy.excess_minor and value.minor <= policy.excess_minor:
            found.append("not worth more than the excess")
        return found


@dataclass(frozen=True)
class Standing:
    """Pieces of one policy in one truck or place, against its limit."""

    policy: Policy
    where: str
    code: str
    load: Load
    vehicle: bool
    place_private: bool = False


@dataclass(frozen=True)
class Schedule:
    """A policy with its lines on a day."""

    policy: Policy
    lines: tuple[Line, ...]
    known: Whereabouts
    on: date

    @property
    def totals(self) -> tuple[tuple[str, int], ...]:
        """Sums by currency; currencies are never added up."""
        return tuple(sorted(insurance.sums(self._items(self.lines)).items()))

    @property
    def unvalued(self) -> int:
        """How many lines are in no sum."""
        return sum(line.value is None for line in self.lines)

    @property
    def runs(self) -> bool:
        """Whether the day lies in its period."""
        return self.policy.begins_on <= self.on <= self.policy.ends_on

    @cached_property
    def standings(self) -> tuple[Standing, ...]:
        """Each truck and place with its sum, those over their limit first."""
        together: dict[tuple[int | None, bool], list[Line]] = defaultdict(list)
        for line in self.lines:
            if not line.stood.gone:
                vehicle = line.stood.truck is not None
                together[(line.stood.truck or line.stood.place, vehicle)].append(line)
        found = [self._standing(pk, vehicle, some) for (pk, vehicle), some in together.items()]
        return tuple(sorted(found, key=lambda s: (-s.load.over_minor, not s.vehicle, s.where)))

    def _standing(self, pk: int | None, vehicle: bool, lines: list[Line]) -> Standing:
        policy = self.policy
        limit = policy.per_vehicle_minor if vehicle else policy.per_place_minor
        if pk is None or self.known.rows[pk].kind == Place.Kind.ON_THE_WAY:
            limit = None  # a carrier's vehicle is none of ours
        where = self.known.name(pk) or "nobody has said where"
        code = self.known.rows[pk].code if pk is not None else ""
        load = insurance.load(self._items(lines), currency=policy.currency, limit_minor=limit)
        private = pk is not None and self.known.private(pk)
        return Standing(policy, where, code, load, vehicle, private)

    @staticmethod
    def _items(lines: Iterable[Line]) -> list[insurance.Item]:
        return [values.item(line.piece, line.value) for line in lines]

    @property
    def to_look_at(self) -> list[Line]:
        return [line for line in self.lines if line.findings]

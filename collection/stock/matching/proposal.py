"""Sets that could be made of a group, and what stays loose."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from collection.core.matching import match
from collection.stock.matching.models import MatchRule
from collection.stock.matching.queries import Group, Loose

TENTH = Decimal("0.1")


@dataclass(frozen=True)
class Proposed:
    """One set: its tubes, and how far apart in percent of the larger reading."""

    tubes: tuple[Loose, ...]
    current_spread: Decimal
    gm_spread: Decimal

    @property
    def key(self) -> str:
        """What the form sends: the codes."""
        return " ".join(tube.part.code for tube in self.tubes)


@dataclass(frozen=True)
class Proposal:
    """Sets, closest first, and the tubes that found no mates within the tolerance."""

    sets: tuple[Proposed, ...]
    left_over: tuple[Loose, ...]


def propose(group: Group, rule: MatchRule, *, size: int) -> Proposal:
    """The sets of `size` that the core finds within the collection's tolerance."""
    tubes = {tube.part.code: tube for tube in group.matchable}
    found = match(
        [(code, *_numbers(tube)) for code, tube in tubes.items()],
        size=size,
        current_tolerance=float(rule.current_percent / 100),
        gm_tolerance=float(rule.gm_percent / 100),
    )
    made = tuple(proposed([tubes[code] for code in members]) for members in found.sets)
    return Proposal(made, tuple(tubes[code] for code in found.left_over))


def proposed(tubes: Sequence[Loose]) -> Proposed:
    """A set with its spreads."""
    currents, gms = zip(*(_decimals(tube) for tube in tubes), strict=True)
    return Proposed(tuple(tubes), _spread(currents), _spread(gms))


def _spread(values: Sequence[Decimal]) -> Decimal:
    return (100 * (max(values) - min(values)) / max(values)).quantize(TENTH)


def _decimals(tube: Loose) -> tuple[Decimal, Decimal]:
    assert tube.read is not None
    return Decimal(tube.read[0]), Decimal(tube.read[1])


def _numbers(tube: Loose) -> tuple[float, float]:
    current, gm = _decimals(tube)
    return float(current), float(gm)

"""The planning figures of a collection: the core's defaults, with what it has changed."""

from collections.abc import Mapping
from dataclasses import dataclass, fields

from collection.core.transit_rules import Rules
from collection.road.models import TransitFigures
from registry.access.models import Collection

UNITS = {
    "_minutes": "minutes",
    "_seconds": "seconds",
    "_hours": "hours",
    "_km_per_hour": "km/h",
    "_km": "km",
    "_days": "days",
}


@dataclass(frozen=True)
class Figure:
    """A figure that may be changed: its name, words, unit, default, value and basis."""

    name: str
    words: str
    unit: str
    default: float
    value: float
    basis: str

    @property
    def changed(self) -> bool:
        """Whether the collection has its own value."""
        return self.value != self.default


def changeable() -> list[str]:
    """Names of the figures a page may change; driving hours are law."""
    return [each.name for each in fields(Rules) if isinstance(each.default, int | float)]


def rules_of(collection: Collection) -> Rules:
    """The rules of a collection; one query."""
    row = TransitFigures.objects.of(collection).first()
    return rules_with(row.changed if row else {})


def rules_with(changed: Mapping[str, float]) -> Rules:
    """The defaults with some figures changed. Raises ValueError for one that cannot be."""
    names = set(changeable())
    return Rules(**{name: value for name, value in changed.items() if name in names})


def figures(rules: Rules) -> list[Figure]:
    """Every changeable figure with its default and what that rests on."""
    plain = Rules()
    return [
        Figure(
            name=name,
            words=_words(name),
            unit=_unit(name),
            default=getattr(plain, name),
            value=getattr(rules, name),
            basis=Rules.basis(name),
        )
        for name in changeable()
    ]


def _unit(name: str) -> str:
    return next((unit for end, unit in UNITS.items() if name.endswith(end)), "share of 1")


def _words(name: str) -> str:
    end = next((end for end in UNITS if name.endswith(end)), "")
    words = name.removesuffix(end).replace("_", " ")
    return words[0].upper() + words[1:]

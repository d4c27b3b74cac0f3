"""Lives kept apart by maker or by lot; pooled only where somebody has asked for it.

A bad batch among good ones fits one law badly and hides in it. So the law of a forecast is that of
the maker (or lot) of which most spares are left, and the page says who is left out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from collection.stock.counting import ready, reserve
from collection.stock.lives import PartLife
from collection.stock.models import Outlook
from collection.stock.records import TypeStock

MAKER, LOT, ALL = Outlook.LivesFrom.values
NOT_KNOWN = {MAKER: "maker not known", LOT: "from no lot", ALL: "all together"}


@dataclass(frozen=True)
class Telling:
    """The lives a law is taken from; `apart`: names and numbers of those left out."""

    name: str
    lives: tuple[PartLife, ...]
    apart: tuple[tuple[str, int], ...]

    @property
    def sentence(self) -> str:
        """Whose lives speak and whose do not."""
        others = ", ".join(f"{many} of {name}" for name, many in self.apart)
        return (
            f"Lives of {self.name} only, since most spares are theirs; {others} are kept apart. "
            "They can be pooled on the page of lives."
        )


def chosen(stock: TypeStock) -> str:
    """How lives are grouped: by maker unless somebody has chosen otherwise."""
    return stock.outlook.lives_from if stock.outlook else MAKER


def key_of(life: PartLife, by: str) -> str:
    """The group a life belongs to; '' where it is not known."""
    return {MAKER: life.maker, LOT: life.lot, ALL: ""}[by]


def named(key: str, by: str) -> str:
    """A group as people say it."""
    return key or NOT_KNOWN[by]


def groups_of(lives: Sequence[PartLife], by: str) -> dict[str, list[PartLife]]:
    """Lives by group, groups in alphabetical order."""
    found: dict[str, list[PartLife]] = {}
    for life in sorted(lives, key=lambda one: key_of(one, by)):
        found.setdefault(key_of(life, by), []).append(life)
    return found


def telling_of(lives: Sequence[PartLife], stock: TypeStock) -> Telling:
    """The lives of the group of which most spares are left, the most lived of equals."""
    by = chosen(stock)
    groups = groups_of(lives, by)
    if len(groups) < 2 and not _other_spares(stock, groups, by):
        return Telling(named(next(iter(groups), ""), by), tuple(lives), ())
    left = _left(stock, by)
    key = max({*left, *groups}, key=lambda one: (left.get(one, 0), len(groups.get(one, ())), one))
    apart = tuple((named(k, by), len(own)) for k, own in groups.items() if k != key)
    return Telling(named(key, by), tuple(groups.get(key, ())), apart)


def _other_spares(stock: TypeStock, groups: dict[str, list[PartLife]], by: str) -> bool:
    return bool(_left(stock, by).keys() - groups.keys()) and bool(groups)


def _left(stock: TypeStock, by: str) -> dict[str, int]:
    """Spares by group, the pulled reserve among them."""
    left: dict[str, int] = {}
    for held in stock.lots:
        key = {MAKER: held.lot.brand, LOT: held.lot.code, ALL: ""}[by]
        buckets = tuple(held.counts)
        many = sum(
            max(0, held.counts[b]) for b in {*ready(buckets), *reserve(buckets)} & {*buckets}
        )
        if many:
            left[key] = left.get(key, 0) + many * held.tubes
    return left

"""The list of goods that a carnet covers: its seven columns, its lines, its totals.

Columns of the general list: 1 item number, 2 trade description with marks and numbers, 3 number
of pieces, 4 weight, 5 value, 6 country of origin, 7 for customs use. Sources: Istanbul Convention
on temporary admission (1990), Annex A; the handbook on carnets and the form ATACPD04355 of the
United Kingdom's customs; a Dutch guide for columns 1 to 5; a British chamber for column 6. Read
in summary, so: information, not legal advice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from collection.core.number_words import in_words, money_in_words

RULES_AS_OF = date(2026, 3, 5)
LONGEST_MONTHS = 12  # Istanbul Convention, Annex A: a carnet is valid for a year at most
NO_SERIAL = "NSN"
CABLES, TOOLS, ELECTRICAL, OTHER = "cables", "tools", "electrical", "other"


@dataclass(frozen=True)
class Goods:
    """One article, or several that are the same in everything.

    `code`: the piece's code, '' for a set of cables or a tool kit. `count`: how many are the same.
    `grams`, `value_minor`: of one, the value as its true commercial value (used: what it costs to
    replace). `made_in`: country of manufacture. `parts`: what goes with it under one number.
    `inside`: how many tools a tool kit holds.
    """

    what: str
    code: str = ""
    maker: str = ""
    model: str = ""
    serial: str = ""
    kind: str = OTHER
    parts: tuple[str, ...] = ()
    count: int = 1
    inside: int | None = None
    grams: int | None = None
    value_minor: int | None = None
    currency: str = ""
    made_in: str = ""


@dataclass(frozen=True)
class Row:
    """A line of the list: numbers `first` to `last`, and the codes of the pieces on it."""

    first: int
    goods: Goods
    codes: tuple[str, ...] = ()

    @property
    def last(self) -> int:
        """Item number of the last article on the line."""
        return self.first + self.goods.count - 1

    @property
    def numbers(self) -> str:
        """Column 1: '7', or '7–9' where identical articles share a line."""
        return str(self.first) if self.last == self.first else f"{self.first}–{self.last}"

    @property
    def description(self) -> str:
        """Column 2."""
        return described(self.goods)

    @property
    def pieces(self) -> int:
        """Column 3."""
        return self.goods.count

    @property
    def grams(self) -> int | None:
        """Column 4, of the whole line."""
        return None if self.goods.grams is None else self.goods.grams * self.goods.count

    @property
    def kilograms(self) -> float | None:
        """Column 4 in kilograms."""
        return None if self.grams is None else self.grams / 1000

    @property
    def value_minor(self) -> int | None:
        """Column 5, of the whole line."""
        value = self.goods.value_minor
        return None if value is None else value * self.goods.count


@dataclass(frozen=True)
class Totals:
    """Sums of columns 1, 3, 4 and 5; `unweighed`, `unvalued`: lines that are not in the sum."""

    items: int
    pieces: int
    grams: int
    value_minor: int
    currency: str
    unweighed: int = 0
    unvalued: int = 0

    @property
    def kilograms(self) -> float:
        """Column 4 in kilograms."""
        return self.grams / 1000

    @property
    def pieces_in_words(self) -> str:
        """Column 3 in words."""
        return in_words(self.pieces)

    @property
    def value_in_words(self) -> str:
        """Column 5 in words."""
        return money_in_words(self.value_minor, self.currency)


def described(goods: Goods) -> str:
    """Make, model, what it is, serial or NSN, and each part that goes under the same number.

    >>> described(Goods("combo amplifier", maker="Brannoch", model="Twelve", serial="0412"))
    'Brannoch Twelve, combo amplifier, serial 0412'
    """
    known = goods.maker and goods.model.casefold().startswith(goods.maker.casefold())
    named = goods.model if known else " ".join(filter(None, (goods.maker, goods.model)))
    marked = f"serial {goods.serial}" if goods.serial else NO_SERIAL
    if goods.kind in (CABLES, TOOLS) and not goods.serial:
        marked = f"{goods.inside} pieces" if goods.inside else ""
    what = "" if goods.what.casefold() == goods.model.casefold() else goods.what
    said = ", ".join(filter(None, (named, what, marked)))
    return f"{said}; with {', '.join(goods.parts)}" if goods.parts else said


def general_list(goods: Iterable[Goods]) -> tuple[Row, ...]:
    """Number the goods in their order; identical ones without a serial share a line.

    A piece with a serial of its own always has a line of its own (house rule, narrower than the
    handbook asks: an officer finds a serial faster that way).
    """
    lines: dict[object, tuple[Goods, tuple[str, ...]]] = {}
    for number, one in enumerate(goods):
        key = _alike(one) or number
        before, codes = lines.get(key, (None, ()))
        together = replace(before, count=before.count + one.count) if before else one
        lines[key] = (together, (*codes, one.code) if one.code else codes)
    rows, first = [], 1
    for together, codes in lines.values():
        rows.append(Row(first, together, codes))
        first += together.count
    return tuple(rows)


def _alike(one: Goods) -> Goods | None:
    """What two articles must have in common to share a line; None for one that never does."""
    if one.serial or one.kind in (CABLES, TOOLS):
        return None
    return replace(one, code="", count=1)


def totals(rows: Sequence[Row], currency: str) -> Totals:
    """Totals of columns 1, 3, 4 and 5; a line in another currency counts as one without a value."""
    valued = [r.value_minor for r in rows if r.goods.currency in ("", currency)]
    known = [value for value in valued if value is not None]
    weighed = [row.grams for row in rows if row.grams is not None]
    return Totals(
        items=rows[-1].last if rows else 0,
        pieces=sum(row.pieces for row in rows),
        grams=sum(weighed),
        value_minor=sum(known),
        currency=currency,
        unweighed=len(rows) - len(weighed),
        unvalued=len(rows) - len(known),
    )


@dataclass(frozen=True)
class Compared:
    """List and truck: on the list and not there, there and not on the list. Codes, in order."""

    missing: tuple[str, ...]
    extra: tuple[str, ...]

    @property
    def agree(self) -> bool:
        """Whether the truck holds what the list says, no more and no less."""
        return not self.missing and not self.extra


def compared(listed: Iterable[str], there: Iterable[str]) -> Compared:
    """Compare the codes on a list with the codes in the truck by the book.

    >>> compared(["A-003", "A-018"], ["A-018", "A-021"])
    Compared(missing=('A-003',), extra=('A-021',))
    """
    listed, there = tuple(listed), tuple(there)
    return Compared(
        tuple(code for code in listed if code not in there),
        tuple(code for code in there if code not in listed),
    )

"""Rules for the lines of a list of goods, each a function from a line to its findings.

Sources are those of `core/customs.py`; each rule names its own. A finding says which line and
column, and what to write instead. Information, not legal advice.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from collection.core.countries import ASSIGNED
from collection.core.customs import CABLES, ELECTRICAL, TOOLS, Row

# From how much on a tool kit says how many tools are in it: £150 (the handbook on carnets of the
# United Kingdom's customs). Taken as 150 of whatever the list is in.
TOOLS_COUNTED_FROM_MINOR = 15_000

_PACKAGING = re.compile(
    r"\b((?:box|bag|crate|carton|bundle)(?:e?s)? of|assorted|various|miscellaneous|kit)\b", re.I
)
_TOOL_KIT = re.compile(r"\btool[ -]?kit\b", re.I)
_USED_UP = re.compile(
    r"\b(batter(?:y|ies)|bulbs?|lamps?|spare (?:tubes?|valves?|fuses?|strings?)|"
    r"(?:sets? of|packs? of) strings?|string sets?|(?<![^,;] )strings|plectrums?|rolls? of|"
    r"adhesive tape|contact cleaner|consumables?|merchandise)\b",
    re.I,
)
_CABLE = re.compile(r"\b(cables?|leads?|looms?)\b", re.I)


@dataclass(frozen=True)
class Finding:
    """What is wrong with a line: item numbers, column 1–6, name of the rule, what to do."""

    numbers: str
    column: int
    rule: str
    words: str


def has_serial_or_nsn(row: Row) -> list[Finding]:
    """Column 2 names the serial, or says NSN once somebody looked and found none.

    Source: gov.uk handbook on carnets, itemising. The list writes NSN by itself where the
    register has no serial; the finding asks whether somebody has looked.
    """
    goods = row.goods
    if goods.serial or goods.kind in (CABLES, TOOLS):
        return []
    return [_of(row, 2, "NSN", "No serial in the register: printed as NSN. Look once more.")]


def serial_is_legible(row: Row) -> list[Finding]:
    """A serial with a character nobody can read does not tell this one from another.

    House rule; column 2 has to identify the article.
    """
    if "?" not in row.goods.serial:
        return []
    words = f"A character of {row.goods.serial} cannot be read: add a mark or a photo."
    return [_of(row, 2, "serial", words)]


def names_make_and_model(row: Row) -> list[Finding]:
    """Electrical equipment is named by make and model. Source: gov.uk handbook on carnets."""
    goods = row.goods
    if goods.kind != ELECTRICAL or (goods.maker and goods.model):
        return []
    return [_of(row, 2, "make", "Electrical equipment needs its make and its model.")]


def says_no_packaging(row: Row) -> list[Finding]:
    """No 'box of', 'bag of', 'assorted', 'various', 'kit'; a tool kit is an article.

    Source: gov.uk handbook on carnets; ATACPD04355. 'Crate', 'carton', 'bundle' and
    'miscellaneous' are added here as a house rule.
    """
    found = _PACKAGING.search(_TOOL_KIT.sub("", row.description))
    if found is None:
        return []
    words = f"‘{found.group(0)}’ tells nobody what is in it: write each article."
    return [_of(row, 2, "packaging", words)]


def is_not_used_up(row: Row) -> list[Finding]:
    """Everything listed comes back, so what will be used up is declared apart.

    Source: gov.uk handbook on carnets (consumables). Tubes stand on the list as parts of the
    amplifier they are fitted in.
    """
    if row.goods.kind == CABLES:
        return []
    found = _USED_UP.search(row.description)
    if found is None:
        return []
    words = f"‘{found.group(0)}’: what will be used up or sold is not listed; declare it apart."
    return [_of(row, 2, "used up", words)]


def cables_are_a_set(row: Row) -> list[Finding]:
    """Cables may stand together as 'set of cables'. Source: gov.uk handbook on carnets."""
    alone = row.goods.kind == CABLES or (not row.goods.code and _CABLE.search(row.goods.what))
    if not alone or "set of cables" in row.goods.what.casefold():
        return []
    return [_of(row, 2, "cables", "Cables stand on one line, as ‘set of cables’.")]


def tool_kit_is_one_item(row: Row) -> list[Finding]:
    """A kit of hand tools is one item; above £150 it says how many tools are in it.

    Source: gov.uk handbook on carnets.
    """
    goods = row.goods
    if goods.kind != TOOLS:
        return []
    found = []
    if goods.count != 1:
        found.append(_of(row, 3, "tools", "A tool kit is one item: count its tools in column 2."))
    if (goods.value_minor or 0) > TOOLS_COUNTED_FROM_MINOR and not goods.inside:
        found.append(_of(row, 2, "tools", "Worth more than 150: say how many tools are in it."))
    return found


def only_identical_share_a_line(row: Row) -> list[Finding]:
    """Only identical articles share a line, each still with a number of its own.

    Source: Dutch guide to the general list; ATACPD04355.
    """
    if row.goods.count > 1 and row.goods.serial:
        words = "Two things with one serial are not identical: give each a line."
        return [_of(row, 1, "identical", words)]
    if len(row.codes) > 1 and len(row.codes) != row.goods.count:
        words = f"{len(row.codes)} pieces under {row.goods.count} numbers: one number a piece."
        return [_of(row, 1, "identical", words)]
    return []


def parts_go_under_one_number(row: Row) -> list[Finding]:
    """An article with its parts may take one number; then column 3 says 1.

    Source: Dutch guide to the general list.
    """
    if row.goods.parts and row.goods.count != 1:
        return [_of(row, 3, "parts", "With parts under its number, column 3 is 1.")]
    return []


def is_weighed(row: Row) -> list[Finding]:
    """A weight in column 4. Source: Dutch guide; Switzerland wants it for every item."""
    return [] if row.goods.grams else [_of(row, 4, "weight", "Not weighed.")]


def is_valued(row: Row) -> list[Finding]:
    """The true commercial value in column 5. Source: ATACPD04355; Dutch guide."""
    if row.goods.value_minor:
        return []
    return [_of(row, 5, "value", "No value: what it would cost to replace it, used.")]


def says_where_it_was_made(row: Row) -> list[Finding]:
    """Country of manufacture as two letters in column 6. Source: Business West; ISO 3166-1."""
    code = row.goods.made_in
    if not code:
        return [_of(row, 6, "origin", "No country of manufacture.")]
    if code in ASSIGNED:
        return []
    hint = "Write GB." if code == "UK" else "Two capital letters, such as GB or DE."
    return [_of(row, 6, "origin", f"‘{code}’ is no country of ISO 3166-1. {hint}")]


RULES: tuple[Callable[[Row], list[Finding]], ...] = (
    has_serial_or_nsn, serial_is_legible, names_make_and_model, says_no_packaging, is_not_used_up,
    cables_are_a_set, tool_kit_is_one_item, only_identical_share_a_line,
    parts_go_under_one_number, is_weighed, is_valued, says_where_it_was_made,
)  # fmt: skip
# What the comparison before a border asks for: without these an officer may stop the truck.
ASKED_AT_A_BORDER = frozenset({"serial", "weight", "value", "origin"})


def findings(row: Row) -> tuple[Finding, ...]:
    """Everything that the rules find on one line, by column."""
    found = [one for rule in RULES for one in rule(row)]
    return tuple(sorted(found, key=lambda one: one.column))


def one_currency(rows: Iterable[Row], currency: str) -> tuple[Finding, ...]:
    """All values in one currency. Source: Dutch guide to the general list, column 5."""
    return tuple(
        _of(row, 5, "currency", f"Valued in {row.goods.currency}; the list is in {currency}.")
        for row in rows
        if row.goods.currency not in ("", currency)
    )


def added_after_issue(issued: Sequence[Row], now: Sequence[Row]) -> tuple[str, ...]:
    """Codes that are on today's list and not on the issued one: nothing may be added.

    Source: ATA Convention (1961) and Istanbul Convention, Annex A, as the handbooks quote them.
    """
    known = {code for row in issued for code in row.codes}
    return tuple(code for row in now for code in row.codes if code not in known)


def list_findings(rows: Sequence[Row], currency: str) -> tuple[Finding, ...]:
    """Every finding of a list in the order of its lines."""
    by_line = [one for row in rows for one in findings(row)]
    return (*by_line, *one_currency(rows, currency))


def _of(row: Row, column: int, rule: str, words: str) -> Finding:
    return Finding(row.numbers, column, rule, words)

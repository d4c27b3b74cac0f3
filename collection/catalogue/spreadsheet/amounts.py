"""Money and mass as inventories write them."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from collection.catalogue.spreadsheet.refusal import CellRefused

# ISO 4217: digits of the minor unit, two unless named here.
MINOR_DIGITS = {"JPY": 0, "ISK": 0}
CURRENCIES = frozenset(
    "GBP EUR USD NOK DKK SEK CHF CAD AUD NZD JPY PLN CZK HUF ISK TRY ZAR INR BRL MXN".split()
)
SIGNS = {
    "£": "GBP",
    "€": "EUR",
    "$": "USD",
    "us$": "USD",
    "a$": "AUD",
    "c$": "CAD",
    "ca$": "CAD",
    "nz$": "NZD",
    "¥": "JPY",
    "eur": "EUR",
    "euro": "EUR",
    "euros": "EUR",
    "pounds": "GBP",
    "sterling": "GBP",
    "dollars": "USD",
    "fr.": "CHF",
    "sfr": "CHF",
}
CROWNS = frozenset({"kr", "kr.", "kroner", "kronor"})
# International avoirdupois pound: exactly 0.45359237 kg (international yard and pound agreement,
# 1959); the ounce is a sixteenth of it.
KILOGRAMS = {
    "kg": Decimal(1),
    "g": Decimal("0.001"),
    "lb": Decimal("0.45359237"),
    "oz": Decimal("0.45359237") / 16,
}
UNIT_WORDS = {
    **dict.fromkeys(("kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramm"), "kg"),
    **dict.fromkeys(("lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("gr", "gram", "grams", "gramm"), "g"),
    **dict.fromkeys(("ounce", "ounces"), "oz"),
}
LONGEST = 60  # characters; more is no amount
HEAVIEST_KG = 5_000
DEAREST = Decimal(10) ** 10

GROUPED = re.compile(r"(\d{1,3})(?:([ '.,])\d{3})(?:\2\d{3})*(?:(?!\2)([.,])(\d{1,2}))?")
PLAIN = re.compile(r"\d+(?:[.,](\d+))?")
SPACES = re.compile(r"[\s\u00a0\u2009\u202f]+")
# Words, figures, 'k' for thousands, ',-' for no pence, words.
MONEY = re.compile(
    r"([^\d\s.,'+-][^\d.,'+-]*\.?)?\s*([-+]?[\d.,' ]*\d)\s*(k(?![^\W\d]))?\s*"
    r"(?:[.,][-–—]+)?\s*([^\d.,'\s].*)?"
)
ABOUT = re.compile(r"^(?:about|approx\.?|around|circa|ca\.?|c\.|etwa|environ|env\.?|~|±)\s*", re.I)
DECIMAL_COMMA = re.compile(r"\d,\d{1,2}(?!\d)")
DECIMAL_POINT = re.compile(r"\d\.\d{1,2}(?!\d)")
MASS = re.compile(r"([-+]?[\d.,' ]*\d)\s*([^\d\s.,]*)\.?")


@dataclass(frozen=True)
class Money:
    """`value_minor` in the currency's minor unit; `currency` '' when nobody said which."""

    value_minor: int
    currency: str
    approximate: bool = False


def commas_are_decimal(cells: Iterable[str]) -> bool:
    """A column writes decimals with a comma when some cell must and none has a decimal point."""
    kept = list(cells)
    return any(DECIMAL_COMMA.search(cell) for cell in kept) and not any(
        DECIMAL_POINT.search(cell) for cell in kept
    )


def currency_of(words: str) -> str:
    """The currency that a cell of its own or a scrap beside a number names; '' for no words.

    Raises:
        CellRefused: words that name none, or several countries' money.
    """
    said = words.strip(" ()[]:").casefold()
    if not said:
        return ""
    if said in CROWNS:
        raise CellRefused("'kr' is money of several countries: write NOK, DKK, SEK or ISK")
    if said in SIGNS:
        return SIGNS[said]
    if said.upper() in CURRENCIES:
        return said.upper()
    raise CellRefused(f"'{words.strip()[:LONGEST]}' names no currency that is known here")


def currency_in_heading(heading: str) -> str:
    """The currency named anywhere in a heading; '' when none is."""
    for word in re.findall(r"[A-Za-z]{0,2}[£€$¥]|[^\W\d_]+", heading):
        if word.upper() in CURRENCIES or word.casefold() in SIGNS:
            return currency_of(word)
    return ""


def mass_unit_in_heading(heading: str) -> str:
    """'kg', 'g', 'lb' or 'oz' named anywhere in a heading; '' when none is."""
    for word in re.findall(r"[^\W\d_]+", heading.casefold()):
        unit = UNIT_WORDS.get(word, word)
        if unit in KILOGRAMS:
            return unit
    return ""


def read_money(text: str, *, currency: str) -> Money:
    """An amount with the currency of the cell, else the one given.

    Three digits after the only separator are thousands: '12,000' and '12.000' are twelve thousand.

    Raises:
        CellRefused: no amount, below zero, more decimals than the currency has, unknown currency.
    """
    said = SPACES.sub(" ", text).strip().replace("’", "'").replace("−", "-")
    amount = ABOUT.sub("", said)
    found = MONEY.fullmatch(amount) if len(amount) <= LONGEST else None
    if not found:
        raise CellRefused("not an amount of money")
    before, digits, thousand, after = found.groups()
    if digits.startswith("-") or amount.startswith(("-", "(")):
        raise CellRefused("a value cannot be below zero")
    number = _money_number(digits.lstrip("+")) * (1000 if thousand else 1)
    named = {currency_of(words) for words in (before or "", after or "") if words.strip()}
    if len(named) > 1:
        raise CellRefused("two currencies are named")
    chosen = named.pop() if named else currency
    return Money(_minor(number, chosen), chosen, amount != said)


def _money_number(digits: str) -> Decimal:
    if grouped := GROUPED.fullmatch(digits):
        _, separator, point, decimals = grouped.groups()
        whole = digits[: -len(decimals) - 1] if point else digits
        return Decimal(f"{whole.replace(separator, '')}.{decimals or 0}")
    plain = PLAIN.fullmatch(digits)
    if plain and len(plain.group(1) or "") <= 2:
        return Decimal(digits.replace(",", "."))
    raise CellRefused("not an amount of money")


def _minor(number: Decimal, currency: str) -> int:
    if number > DEAREST:
        raise CellRefused("the amount is too large to be meant")
    minor = number * 10 ** MINOR_DIGITS.get(currency, 2)
    if minor != int(minor):
        raise CellRefused(f"{currency} has no smaller unit")
    return int(minor)


def read_mass(text: str, *, unit: str, comma_decimal: bool) -> Decimal:
    """Kilograms, to the gram, from a number with the unit of the cell, else the one given.

    Raises:
        CellRefused: no mass, not above zero, too heavy, or a number that can be read two ways.
    """
    said = SPACES.sub(" ", ABOUT.sub("", text.strip())).casefold().replace("−", "-")
    parts = list(MASS.finditer(said)) if len(said) <= LONGEST else []
    if not parts or "".join(part.group(0) for part in parts).replace(" ", "") != said.replace(
        " ", ""
    ):
        raise CellRefused("not a weight")
    kilograms = sum(
        (_part_of_mass(part, unit=unit, comma_decimal=comma_decimal) for part in parts), Decimal(0)
    )
    if len(parts) > 1 and [_unit(part.group(2)) for part in parts] != ["lb", "oz"]:
        raise CellRefused("not one weight")
    if kilograms <= 0:
        raise CellRefused("a weight must be above zero")
    if kilograms > HEAVIEST_KG:
        raise CellRefused(f"more than {HEAVIEST_KG:,} kg is too heavy to be meant")
    return kilograms.quantize(Decimal("0.001"))


def _part_of_mass(part: re.Match[str], *, unit: str, comma_decimal: bool) -> Decimal:
    named = _unit(part.group(2)) or unit or "kg"
    if named not in KILOGRAMS:
        raise CellRefused(f"'{part.group(2)}' is not a unit of weight that is known here")
    digits = part.group(1).strip()
    if digits.startswith("-"):
        raise CellRefused("a weight cannot be below zero")
    return _mass_number(digits.lstrip("+"), comma_decimal=comma_decimal) * KILOGRAMS[named]


def _unit(word: str) -> str:
    return UNIT_WORDS.get(word, word)


def _mass_number(digits: str, *, comma_decimal: bool) -> Decimal:
    if not PLAIN.fullmatch(digits):
        raise CellRefused("not a weight")
    if "," in digits and not comma_decimal and re.fullmatch(r"[1-9]\d{0,2},\d{3}", digits):
        raise CellRefused("the comma may mean thousands or a fraction")
    if len(digits) > 20:
        raise CellRefused("not a weight")
    return Decimal(digits.replace(",", "."))

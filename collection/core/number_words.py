"""Whole numbers and sums of money in English words, as lists for customs want their totals.

House rule: British habit, with 'and' before the last two figures and hyphens up to ninety-nine.
Written here, since one page needs it and the packages that do it bring forty languages along.
"""

from __future__ import annotations

from collection.core.wording import MINOR_DIGITS

SMALL = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen"
).split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
SCALES = ((1_000_000_000, "billion"), (1_000_000, "million"), (1_000, "thousand"))
LARGEST = 10**12 - 1

# Major and minor unit, one and many. Other currencies are said by their ISO 4217 code.
UNITS = {
    "GBP": ("pound", "pounds", "penny", "pence"),
    "EUR": ("euro", "euros", "cent", "cents"),
}


def in_words(number: int) -> str:
    """A whole number from 0 to 999,999,999,999 in words.

    >>> in_words(24), in_words(1_105)
    ('twenty-four', 'one thousand one hundred and five')

    Raises:
        ValueError: below zero or too large.
    """
    if not 0 <= number <= LARGEST:
        raise ValueError(f"{number} is not between 0 and {LARGEST}")
    for size, name in SCALES:
        if number >= size:
            rest = number % size
            joint = " and " if 0 < rest < 100 else " "
            head = f"{in_words(number // size)} {name}"
            return head + (joint + in_words(rest) if rest else "")
    return _below_thousand(number)


def _below_thousand(number: int) -> str:
    if number < 20:
        return SMALL[number]
    if number < 100:
        tens, ones = TENS[number // 10 - 2], number % 10
        return f"{tens}-{SMALL[ones]}" if ones else tens
    rest = number % 100
    head = f"{SMALL[number // 100]} hundred"
    return f"{head} and {_below_thousand(rest)}" if rest else head


def money_in_words(minor: int, currency: str) -> str:
    """A sum in minor units of a currency in words; nothing is said of minor units that are none.

    >>> money_in_words(104_320, "GBP")
    'one thousand and forty-three pounds and twenty pence'
    """
    major, rest = divmod(minor, 10 ** MINOR_DIGITS.get(currency, 2))
    unnamed = (currency, currency, "minor unit", "minor units")
    one, many, small, smalls = UNITS.get(currency, unnamed)
    said = f"{in_words(major)} {one if major == 1 else many}"
    return f"{said} and {in_words(rest)} {small if rest == 1 else smalls}" if rest else said

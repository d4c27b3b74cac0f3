"""Numbers in words, against worked examples and against the way back."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.number_words import LARGEST, SCALES, SMALL, TENS, in_words, money_in_words

# British style: 'and' before tens and units. Source: from memory (New Hart's Rules, numbers).
WORKED = {
    0: "zero", 7: "seven", 13: "thirteen", 20: "twenty", 24: "twenty-four", 90: "ninety",
    100: "one hundred", 105: "one hundred and five", 342: "three hundred and forty-two",
    1_000: "one thousand", 1_001: "one thousand and one",
    1_100: "one thousand one hundred",
    12_045: "twelve thousand and forty-five",
    104_320: "one hundred and four thousand three hundred and twenty",
    1_000_000: "one million", 2_000_017: "two million and seventeen",
    3_000_000_000: "three billion",
}  # fmt: skip


@pytest.mark.parametrize(("number", "words"), WORKED.items())
def test_a_number_is_said_as_an_english_bill_says_it(number, words):
    assert in_words(number) == words


def read(words):
    """The number that words say: a reader of its own, from the smallest unit up."""
    scales = {name: size for size, name in SCALES}
    whole = part = 0
    for word in words.replace("-", " ").split():
        if word in SMALL:
            part += SMALL.index(word)
        elif word in TENS:
            part += 10 * (TENS.index(word) + 2)
        elif word == "hundred":
            part *= 100
        elif word in scales:
            whole, part = whole + part * scales[word], 0
        else:
            assert word == "and"
    return whole + part


@given(st.integers(0, LARGEST))
@settings(max_examples=60)
def test_words_read_back_are_the_number(number):
    assert read(in_words(number)) == number


@pytest.mark.parametrize("number", [-1, LARGEST + 1])
def test_a_number_out_of_range_is_refused(number):
    with pytest.raises(ValueError, match="not between"):
        in_words(number)


@pytest.mark.parametrize(
    ("minor", "currency", "words"),
    [
        (100, "GBP", "one pound"),
        (201, "GBP", "two pounds and one penny"),
        (250_050, "EUR", "two thousand five hundred euros and fifty cents"),
        (300, "NOK", "three NOK"),
        (300, "JPY", "three hundred JPY"),
        (350, "NOK", "three NOK and fifty minor units"),
        (0, "GBP", "zero pounds"),
    ],
)
def test_money_is_said_with_its_units(minor, currency, words):
    assert money_in_words(minor, currency) == words

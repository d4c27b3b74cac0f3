"""What looks like a code of a lock is known, what a key is called is not taken for one.

The cases are common practice, no source.
"""

import doctest

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core import secret_words
from collection.core.secret_words import looks_secret


@pytest.mark.parametrize(
    "text",
    [
        "4711", "back door 4711", "47-11-08", "4 7 1 1", "#4711#", "alarm: 22", "PIN is 12",
        "Code 7", "combination 12-34", "123 is the code", "the safe, 38", "Keypad no 5",
    ],
)  # fmt: skip
def test_what_looks_like_a_code_is_known(text):
    assert looks_secret(text)


@pytest.mark.parametrize(
    "text",
    [
        "warehouse, roller door", "bay 3", "room 214", "two keys, ring 12", "K-1204", "truck A",
        "alarm panel, the fob", "safe in the office", "case 07", "hangs at hook 3", "CASE-07",
    ],
)  # fmt: skip
def test_what_a_key_is_called_is_no_code(text):
    assert not looks_secret(text)


@settings(max_examples=60)
@given(st.text("0123456789", min_size=4, max_size=12), st.sampled_from(["", "gate ", "dock, "]))
def test_four_digits_are_never_let_through(digits, before):
    assert looks_secret(f"{before}{digits}")


def test_the_example_in_the_page_of_the_rule_is_right():
    assert doctest.testmod(secret_words).failed == 0

"""What a spreadsheet must not run is made harmless; numbers stay numbers."""

import csv
import io
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.cells import LEADING, cell, row

# Source: OWASP, Application Security Verification Standard 5.0, requirement 1.2.10.
STANDARD = ["=", "+", "-", "@", "\t", "\0"]
# OWASP, 'CSV Injection', from memory.
PAGE = ["\r", "\n", "＝", "＋", "－", "＠"]
OWASP = STANDARD + PAGE


@pytest.mark.parametrize("lead", OWASP, ids=[f"U+{ord(lead):04X}" for lead in OWASP])
def test_a_text_that_begins_as_a_formula_gets_an_apostrophe(lead):
    assert cell(f"{lead}1+1") == f"'{lead}1+1"
    assert cell(f" {lead}1+1").startswith("'")


def test_the_list_is_the_published_one():
    assert frozenset(OWASP) == LEADING


@pytest.mark.parametrize("number", [0, -3, 7, 2**60, -1.5, Decimal("-12.50")])
def test_a_number_stays_a_number(number):
    assert cell(number) is number


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (date(2026, 11, 24), "2026-11-24"),
        (datetime(2026, 11, 24, 15, 20, tzinfo=UTC), "2026-11-24T15:20:00+00:00"),
        ("", ""),
        ("A-007", "A-007"),
        ("1+1", "1+1"),
        ("it's -3", "it's -3"),
    ],
)
def test_everything_else_is_said_plainly(value, said):
    assert cell(value) == said


@settings(max_examples=60)
@given(st.lists(st.text(), min_size=1, max_size=5))
def test_law_no_cell_of_a_written_file_begins_as_a_formula_and_none_is_lost(texts):
    file = io.StringIO(newline="")
    csv.writer(file).writerow(row(texts))
    (read,) = csv.reader(io.StringIO(file.getvalue(), newline=""))
    assert not [one for one in read if one.lstrip(" ")[:1] in LEADING and one.strip(" ")]
    back = [one if one == text else one[1:] for one, text in zip(read, texts, strict=True)]
    assert back == texts

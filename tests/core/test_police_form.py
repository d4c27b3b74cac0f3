"""Serials as a police index takes them (Wisconsin DOJ, TIME system manual, stolen articles)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.police_form import LONGEST, alike, police_form


@pytest.mark.parametrize(
    ("marked", "taken"),
    [("L8-5I-04B7", "L85I04B7"), ("OT 22O81", "OT22O81"), ("no. 7/3", "NO73"), ("é1", "E1")],
)
def test_spaces_hyphens_and_symbols_are_dropped(marked, taken):
    assert police_form(marked).text == taken


@pytest.mark.parametrize(
    ("marked", "remark"),
    [("0", "zeros only"), ("0-00", "zeros only"), ("", "no number"), ("--", "no number"),
     ("A" * 21, "at most 20"), ("L8?4", "both ways"), ("A" * 20, "")],
)  # fmt: skip
def test_what_the_index_refuses_is_said(marked, remark):
    said = police_form(marked).remark
    assert remark in said
    assert bool(said) == bool(remark)


def test_serial_and_owner_number_must_differ():
    assert alike("MV 7F-03", "mv7f03")
    assert not alike("MV 7F-03", "MV-7F-04")
    assert not alike("", "")


@given(st.text(max_size=30))
def test_the_form_holds_capitals_and_digits_only(marked):
    text = police_form(marked).text
    assert all(c.isascii() and (c.isdigit() or c.isupper()) for c in text)
    assert police_form(text).text == text
    assert police_form(marked).remark or 1 <= len(text) <= LONGEST

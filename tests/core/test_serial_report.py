"""Numbers as people report them."""

import pytest

from collection.core.serial import search
from collection.core.serial_report import characters, number_in


@pytest.mark.parametrize(
    ("said", "number"),
    [
        ("2?45B", "2?45B"),
        ("somebody reports 2?45B", "2?45B"),
        ("Serial number: HB 1147.", "HB 1147"),
        ("a shop in Altona offers R1-8406 (grey box)", "R1-8406"),
        ("OT 22O81", "OT 22O81"),
        ("l8-5i-04b7", "l8-5i-04b7"),
        ("the blue one", ""),
        ("", ""),
        ("7", ""),
    ],
)
def test_the_number_is_found_in_what_was_said(said, number):
    assert number_in(said) == number


def test_what_differs_is_marked_where_it_stands_in_the_report():
    match = search("2?45B", ["21458", "999"])[0]
    assert [(one.text, one.differs) for one in characters(match)] == [
        ("2", False), ("?", True), ("4", False), ("5", False), ("B", True),
    ]  # fmt: skip


def test_the_same_number_has_nothing_marked():
    match = search("hb-1147", ["HB 1147"])[0]
    assert not any(one.differs for one in characters(match))

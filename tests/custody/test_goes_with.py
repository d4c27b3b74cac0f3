"""What goes with a piece is asked one by one, and what is not there is said."""

import re

import pytest
from django.template.loader import render_to_string

from collection.catalogue.models import Piece
from collection.custody.cases.goes_with import goes_with_check, without


def a_piece(goes_with):
    return Piece(code="E-002", goes_with=goes_with)


@pytest.mark.parametrize(
    ("said", "asked"),
    [
        ("foot switch, drop cable 4", ["foot switch", "drop cable 4"]),
        ("cover; lead 3 m,  ,", ["cover", "lead 3 m"]),
        ("cover, cover", ["cover"]),
        ("", []),
    ],
)
def test_each_thing_between_commas_is_asked_once(said, asked):
    assert [one.what for one in goes_with_check(a_piece(said))] == asked


def test_what_is_not_ticked_is_said_and_the_rest_is_not():
    check = goes_with_check(a_piece("foot switch, drop cable 4, cover"))
    assert without(check, ["E-002|cover"]) == "Without foot switch, drop cable 4."
    assert without(check, [one.value for one in check]) == ""


def test_a_box_of_another_piece_does_not_count_for_this_one():
    assert without(goes_with_check(a_piece("cover")), ["E-003|cover"]) == "Without cover."


def test_nothing_goes_with_it_so_nothing_is_asked_and_nothing_missed():
    check = goes_with_check(a_piece(""))
    assert without(check, []) == ""
    assert "<input" not in render_to_string("_parts/goes_with.html", {"check": check})


def test_the_part_keeps_what_was_ticked():
    check = goes_with_check(a_piece("foot switch, cover"))
    page = render_to_string("_parts/goes_with.html", {"check": check, "ticked": [check[1].value]})
    boxes = re.findall(r'value="([^"]+)"( checked)?', page)
    assert boxes == [("E-002|foot switch", ""), ("E-002|cover", " checked")]

"""What a notice may not say."""

import pytest

from collection.core.notice import Secrets, leak, without_leaks

SECRETS = Secrets(
    names=("Ines Holt", "Bo Lindgren", "Carlisle Bench"),
    places=("Saltings", "Kirkcudbright"),
    numbers=("HB 1147", "12"),
    marks=("filled screw hole",),
    allowed=("Carlisle",),
)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("ask for Ines", "names a person"),
        ("BO’s brass foot", "names a person"),
        ("taken from saltings", "names a private place"),
        ("serial hb-1147 on the plate", "gives a number kept off the notice"),
        ("A filled  screw hole by the plate", "tells a mark held back"),
        ("dark board, 12 screws", ""),
        ("Carlisle dressing room", ""),
        ("straight dark board", ""),
        ("", ""),
    ],
)
def test_a_text_leaks_what_it_names(text, why):
    assert leak(text, SECRETS) == why


def test_a_leaking_text_is_left_off_whole():
    assert without_leaks(["dark board", "Ines knows it", ""], SECRETS) == ("dark board",)


def test_a_short_number_is_not_looked_for_inside_words():
    assert leak("twelve, 12, MK12B", Secrets(numbers=("12",))) == ""

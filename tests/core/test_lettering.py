"""Which characters of a serial are in doubt. The groups are common practice, no source."""

from hypothesis import given
from hypothesis import strategies as st

from collection.core.lettering import spelt_out, stretches


def doubtful(serial: str) -> list[str]:
    return [part.text for part in stretches(serial) if part.doubtful]


def test_letters_o_and_i_and_the_figure_zero_are_in_doubt():
    assert doubtful("5O2-I6407") == ["O", "I", "0"]
    assert spelt_out("5O2-I6407") == "letter O, letter I, then zero"


def test_a_five_is_in_doubt_only_beside_the_letter_s():
    assert doubtful("H5577") == []
    assert doubtful("S577") == ["S5"]


def test_a_one_is_in_doubt_wherever_a_letter_could_stand():
    assert doubtful("H-317") == ["1"]
    assert spelt_out("H-317") == "one"


def test_figures_alone_hold_no_doubt():
    assert doubtful("502164") == []
    assert spelt_out("502164") == "digits only"


def test_a_single_doubt_is_named_without_then():
    assert spelt_out("HB-l77") == "letter B, then small letter L"
    assert spelt_out("A0") == "zero"


def test_an_unreadable_or_empty_serial_is_left_alone():
    assert (stretches(""), spelt_out(""), spelt_out("??")) == ((), "", "")


@given(st.text())
def test_the_stretches_together_are_the_serial(serial):
    assert "".join(part.text for part in stretches(serial)) == serial


@given(st.text(alphabet="OQIlSBZG0158264-AK7"))
def test_whatever_is_in_doubt_can_be_spelt_out(serial):
    names = spelt_out(serial)
    count = sum(len(text) for text in doubtful(serial))
    assert count == (0 if names in ("", "digits only") else names.count(",") + 1)

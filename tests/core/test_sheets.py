"""Which lines a sheet has, and two sheets beside each other."""

import pytest

from collection.core.sheet_compared import compared
from collection.core.sheet_layout import CLOCK, OWN_LINES, SET_UP, SETTINGS, layout, with_own_lines


def names(sheet, **of):
    groups = layout(sheet, **{"kind": "instrument", "family": "", **of})
    return [line.name for group in groups for line in group.lines]


def test_a_guitar_is_set_up_by_what_is_written_down_for_one():
    """The list a working technician keeps: common practice, no source."""
    assert {
        "relief", "action at the 12th", "string gauge", "tuning", "pickup height", "fret height",
        "intonation",
    } <= set(names(SET_UP, family="hollow-body guitar"))  # fmt: skip


def test_each_family_has_its_own_lines():
    steel = names(SET_UP, family="lap steel")
    assert {"string height", "nut", "string gauge", "tuning", "pickup height"} <= set(steel)
    assert "leg length" in steel
    assert "relief" not in steel
    echo = names(SETTINGS, kind="effect", family="tape echo")
    assert {"speed", "heads", "repeats"} <= set(echo)
    assert {"loop length", "loop age"} <= set(names(SET_UP, kind="effect", family="tape echo"))
    assert {"pad", "distance", "phase", "48 V"} <= set(
        names(SETTINGS, kind="microphone", family="ribbon microphone")
    )
    organ = [*names(SETTINGS, family="reed organ"), *names(SET_UP, family="reed organ")]
    assert {"stops", "blower", "bellows"} <= set(organ)


def test_a_ribbon_is_never_offered_48_volts():
    groups = layout(SETTINGS, kind="microphone", family="ribbon microphone")
    lines = {line.name: line for group in groups for line in group.lines}
    assert lines["48 V"].offers == ("off",)


def test_an_amplifier_has_the_controls_of_its_panel_in_their_order():
    panel = ("input", "volume", "treble", "bass", "cut", "standby")
    groups = layout(SETTINGS, kind="amplifier", family="head", panel=panel)
    assert tuple(line.name for line in groups[0].lines) == panel
    assert groups[0].lines[1].offers == CLOCK
    assert groups[0].lines[5].offers == ("up", "down")
    assert layout(SET_UP, kind="amplifier", family="head") == ()


def test_the_clock_runs_from_seven_over_noon_to_five():
    hours = [word for word in CLOCK if word.endswith("o’clock")]
    assert hours == [f"{hour} o’clock" for hour in (7, 8, 9, 10, 11, 12, 1, 2, 3, 4, 5)]


def test_a_sheet_of_another_name_is_refused():
    with pytest.raises(ValueError, match="song list"):
        layout("song list", kind="amplifier", family="")


def test_lines_that_the_layout_does_not_know_stand_last():
    amp = layout(SETTINGS, kind="amplifier", family="head")
    more = with_own_lines(amp, ["volume", "echo E-002", "echo E-002"])
    assert more[-1].heading == OWN_LINES
    assert [line.name for line in more[-1].lines] == ["echo E-002"]
    assert with_own_lines(amp, ["volume"]) == amp


SATURDAY = (("volume", "10 o’clock"), ("treble", "1 o’clock"), ("cut", "shut"), ("load", "8 Ω"))
SUNDAY = (("volume", "10 O'Clock"), ("treble", "2 o’clock"), ("cut", "9 o’clock"), ("fuse", "2 A"))


def test_what_moved_is_counted_and_silence_is_no_move():
    amp = layout(SETTINGS, kind="amplifier", family="head")
    both = compared(SATURDAY, SUNDAY, amp)
    assert [line.name for line in both.lines if line.moved] == ["treble", "cut"]
    assert [line.name for line in both.lines if line.only_one] == ["load", "fuse"]
    assert both.moved == 2
    assert not both.same


def test_lines_come_in_the_order_of_the_sheet_and_empty_groups_not_at_all():
    amp = layout(SETTINGS, kind="amplifier", family="head")
    both = compared(SUNDAY, SATURDAY, amp)
    assert [group.heading for group in both.groups] == ["The panel", "The back", OWN_LINES]
    assert [line.name for line in both.lines] == ["volume", "treble", "load", "fuse", "cut"]


def test_a_sheet_is_the_same_as_itself():
    amp = layout(SETTINGS, kind="amplifier", family="head")
    assert compared(SUNDAY, SUNDAY, amp).same
    assert compared((), (), amp).groups == ()

"""What `settings_noted` says."""

from collection.core.events.settings_noted import SettingsNoted
from tests.core.book import after, proven, round_trip

SHEET = SettingsNoted(
    (("volume", "10 o'clock"), ("treble", "2 o'clock"), ("bass", "11 o'clock"), ("cut", "shut"),
     ("load", "8 Ω")),
    show="S-013", like=41,
)  # fmt: skip


def test_a_sheet_changes_nothing_and_names_its_show():
    assert after(SHEET, proven()) == proven()
    assert after(SHEET, proven(), "show") == proven()
    assert SHEET.names() == {"show": "S-013"}
    assert SettingsNoted(()).names() == {}


def test_three_controls_are_said_and_dots_for_the_rest():
    assert SHEET.sentence() == (
        "Settings for S-013, like entry 41: volume 10 o'clock, treble 2 o'clock, bass 11 o'clock …"
    )
    assert SettingsNoted((("volume", "4"),)).sentence() == "Settings: volume 4."
    assert SettingsNoted(()).sentence() == "Settings: nothing set down."


def test_its_facts_come_back_from_the_book():
    assert round_trip(SHEET) == SHEET
    assert SHEET.pairs[1] == ("treble", "2 o'clock")
